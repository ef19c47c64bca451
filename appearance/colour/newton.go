package colour

import "math"

// longest is the most a node may move in one Newton step, in z: farther than that the curve of
// R over z is no longer near its tangent.
const longest = 1.0

// The unknowns of a Newton step: the moves of the nodes, then the new multipliers.
const unknowns = nodes + 3

// equations are linear equations; the last column is the right-hand side.
type equations [unknowns][unknowns + 1]float64

// step moves z and lambda along the Newton step of the Karush-Kuhn-Tucker equations, shortened so that no
// node moves by more than longest, and returns the move that was asked for. False: the equations have no answer.
func (s *smoothest) step() (moved float64, ok bool) {
	e := s.equations()
	answer, ok := e.solve()
	if !ok {
		return 0, false
	}
	for _, dz := range answer[:nodes] {
		moved = max(moved, math.Abs(dz)) // not a number stays so
	}
	if math.IsNaN(moved) {
		return 0, false
	}
	share := min(1, longest/max(moved, longest))
	for i := range s.z {
		s.z[i] += share * answer[i]
	}
	for k := range s.lambda {
		s.lambda[k] += share * (answer[nodes+k] - s.lambda[k])
	}
	return moved, true
}

// equations are the derivatives of the Lagrangian, tridiagonal by the nodes, bordered by those of the
// tristimulus values.
func (s *smoothest) equations() *equations {
	var e equations
	for i := range nodes {
		e[i][i] = s.curve[i]
	}
	for i := range nodes - 1 { // the smoothness (z[i+1] - z[i])^2
		e[i][i] += 2
		e[i+1][i+1] += 2
		e[i][i+1] = s.link[i] - 2
		e[i+1][i] = s.link[i] - 2
		pull := 2 * (s.z[i+1] - s.z[i])
		e[i][unknowns] += pull
		e[i+1][unknowns] -= pull
	}
	for k := range s.slope {
		for i, slope := range s.slope[k] {
			e[i][nodes+k] = slope
			e[nodes+k][i] = slope
		}
		e[nodes+k][unknowns] = -s.excess[k]
	}
	return &e
}

// solve is Gaussian elimination with row exchange. Without the exchange it fails for about one colour in
// 50,000: the tridiagonal part need not be positive. Rows that are zero already cost nothing, and of 44
// only about five are not.
func (e *equations) solve() (u [unknowns]float64, ok bool) {
	for c := range unknowns {
		pivot := c
		for r := c + 1; r < unknowns; r++ {
			if math.Abs(e[r][c]) > math.Abs(e[pivot][c]) {
				pivot = r
			}
		}
		if e[pivot][c] == 0 {
			return u, false
		}
		if pivot != c {
			e[c], e[pivot] = e[pivot], e[c]
		}
		top := &e[c]
		for r := c + 1; r < unknowns; r++ {
			row := &e[r]
			if row[c] == 0 {
				continue
			}
			factor := row[c] / top[c]
			for k := c; k <= unknowns; k++ {
				row[k] -= factor * top[k]
			}
		}
	}
	for r := unknowns - 1; r >= 0; r-- {
		u[r] = e[r][unknowns]
		for k := r + 1; k < unknowns; k++ {
			u[r] -= e[r][k] * u[k]
		}
		u[r] /= e[r][r]
	}
	return u, true
}
