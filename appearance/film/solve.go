package film

import "math"

// squares is a problem of least squares with unknowns not below 0.
type squares struct {
	unknowns, rows int
	// look fills the misses of all rows at p, and their derivatives row by row. Slopes come in cleared.
	look func(p, miss, slope []float64)
}

// mostSteps is far above the 10 to 20 that films need.
const mostSteps = 100

// solve moves p to the least sum of squares it can reach from where p is, by damped Gauss-Newton steps
// (Marquardt, J. SIAM 11, 431, 1963) that leave out unknowns held at 0.
func (q *squares) solve(p []float64) {
	miss, slope := make([]float64, q.rows), make([]float64, q.rows*q.unknowns)
	normal, pull := make([]float64, q.unknowns*q.unknowns), make([]float64, q.unknowns)
	try, factor := make([]float64, q.unknowns), make([]float64, q.unknowns*q.unknowns)
	q.look(p, miss, slope)
	sum, damping := sumOfSquares(miss), 1e-3
	tryMiss, trySlope := make([]float64, q.rows), make([]float64, q.rows*q.unknowns)
	for range mostSteps {
		q.normal(miss, slope, normal, pull)
		better := math.Inf(1)
		for ; damping < 1e12; damping *= 5 {
			copy(try, p)
			if !q.step(try, normal, pull, factor, damping) {
				continue
			}
			clear(trySlope)
			q.look(try, tryMiss, trySlope)
			if better = sumOfSquares(tryMiss); better < sum {
				break
			}
		}
		if !(better < sum) {
			return
		}
		copy(p, try)
		miss, tryMiss, slope, trySlope = tryMiss, miss, trySlope, slope
		done := sum-better <= 1e-10*sum || better < 1e-28
		sum, damping = better, max(damping/5, 1e-12)
		if done {
			return
		}
	}
}

// normal forms the lower triangle of the normal equations and the gradient.
func (q *squares) normal(miss, slope, normal, pull []float64) {
	n := q.unknowns
	clear(normal)
	clear(pull)
	for i, m := range miss {
		row := slope[i*n : (i+1)*n]
		for a, v := range row {
			if v == 0 { // most pigments are not in most films
				continue
			}
			pull[a] += v * m
			for b := 0; b <= a; b++ {
				normal[a*n+b] += v * row[b]
			}
		}
	}
}

// step moves p by one damped step; false says that the equations had no digits left.
func (q *squares) step(p, normal, pull, factor []float64, damping float64) bool {
	n := q.unknowns
	free := make([]int, 0, n)
	for j := range p {
		if normal[j*n+j] > 0 && (p[j] > 0 || pull[j] < 0) {
			free = append(free, j)
		}
	}
	move := make([]float64, len(free))
	for a, ja := range free { // Cholesky, forward
		move[a] = -pull[ja]
		for b, jb := range free[:a+1] {
			v := normal[ja*n+jb]
			if a == b {
				v *= 1 + damping
			}
			for c := range b {
				v -= factor[a*n+c] * factor[b*n+c]
			}
			if a == b {
				if !(v > 0) {
					return false
				}
				factor[a*n+a] = math.Sqrt(v)
			} else {
				factor[a*n+b] = v / factor[b*n+b]
				move[a] -= factor[a*n+b] * move[b]
			}
		}
		move[a] /= factor[a*n+a]
	}
	for a := len(free) - 1; a >= 0; a-- { // and back
		for c := a + 1; c < len(free); c++ {
			move[a] -= factor[c*n+a] * move[c]
		}
		move[a] /= factor[a*n+a]
		p[free[a]] = max(0, p[free[a]]+move[a])
	}
	return true
}

func sumOfSquares(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return sum
}
