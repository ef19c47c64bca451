package colour

// bradford turns XYZ into sharpened cone responses (K. M. Lam 1985; linear form of ICC.1:2022 annex E).
// Bradford and not CAT16, because colour-managed programs adapt with it: a picture then agrees with
// what other programs show of the same colour.
var (
	bradford = matrix{
		{0.8951, 0.2664, -0.1614},
		{-0.7502, 1.7135, 0.0367},
		{0.0389, -0.0685, 1.0296},
	}
	bradfordBack = bradford.inverse()
)

// Adapt is the colour that looks under the white to as x does under the white from, to an eye fully
// used to each (linear Bradford). The white from becomes exactly the white to. Both need positive cone
// responses, as every real light gives.
func Adapt(x, from, to XYZ) XYZ {
	l, m, s := shortOfWhite(x, from)
	tl, tm, ts := bradford.times(to.X, to.Y, to.Z)
	dx, dy, dz := bradfordBack.times(l*tl, m*tm, s*ts)
	return XYZ{to.X + dx, to.Y + dy, to.Z + dz}
}

// shortOfWhite is the cone response to x as a share of that to white, less 1: zero for white itself,
// so that what is built on it keeps white exact.
func shortOfWhite(x, white XYZ) (l, m, s float64) {
	xl, xm, xs := bradford.times(x.X, x.Y, x.Z)
	wl, wm, ws := bradford.times(white.X, white.Y, white.Z)
	return xl/wl - 1, xm/wm - 1, xs/ws - 1
}
