package colour

// matrix maps one triple to another; rows first.
type matrix [3][3]float64

func (m *matrix) times(a, b, c float64) (float64, float64, float64) {
	return m[0][0]*a + m[0][1]*b + m[0][2]*c,
		m[1][0]*a + m[1][1]*b + m[1][2]*c,
		m[2][0]*a + m[2][1]*b + m[2][2]*c
}

// after is the matrix that does n first and m second.
func (m *matrix) after(n *matrix) matrix {
	var p matrix
	for i := range p {
		for j := range p[i] {
			p[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return p
}

// scaled multiplies the columns by a, b and c.
func (m *matrix) scaled(a, b, c float64) matrix {
	s := *m
	for i := range s {
		s[i][0] *= a
		s[i][1] *= b
		s[i][2] *= c
	}
	return s
}

// inverse is for the matrices of this package, all well away from singular.
func (m *matrix) inverse() matrix {
	cofactor := func(r, c int) float64 {
		r1, r2, c1, c2 := (r+1)%3, (r+2)%3, (c+1)%3, (c+2)%3
		return m[r1][c1]*m[r2][c2] - m[r1][c2]*m[r2][c1]
	}
	det := m[0][0]*cofactor(0, 0) + m[0][1]*cofactor(0, 1) + m[0][2]*cofactor(0, 2)
	var inv matrix
	for r := range inv {
		for c := range inv[r] {
			inv[r][c] = cofactor(c, r) / det
		}
	}
	return inv
}
