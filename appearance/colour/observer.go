package colour

import "sync"

// Observer is a set of CIE colour-matching functions on the grid, without unit.
type Observer struct {
	ID, Name string
	X, Y, Z  Spectrum
}

var observers = sync.OnceValue(func() [2]Observer {
	t := mustReadTables("data/observers.txt")
	return [2]Observer{
		{ID: "1931", Name: t[0].name, X: t[0].values, Y: t[1].values, Z: t[2].values},
		{ID: "1964", Name: t[3].name, X: t[3].values, Y: t[4].values, Z: t[5].values},
	}
})

// Observer1931 is the CIE 1931 standard observer, 2 degrees (ISO/CIE 11664-1:2019), the one behind
// screen colours and most published Lab figures. The caller owns the copy.
func Observer1931() *Observer {
	o := observers()[0]
	return &o
}

// Observer1964 is the CIE 1964 standard observer, 10 degrees (ISO/CIE 11664-1:2019), the one for
// surfaces as large as a wall and for light reflectance values. The caller owns the copy.
func Observer1964() *Observer {
	o := observers()[1]
	return &o
}
