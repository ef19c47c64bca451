package colour

import (
	"embed"
	"fmt"
	"strconv"
	"strings"
)

//go:embed data
var data embed.FS

// table is one curve of an embedded data file.
type table struct {
	id, name, source string
	values           Spectrum
}

// mustReadTables reads an embedded file: blocks of "[id] name | source" and lines of a wavelength in nm
// followed by values 5 nm apart. The file is part of the program, so a fault in it is a fault of the
// program and the tests of this package meet it first.
func mustReadTables(path string) []table {
	text, err := data.ReadFile(path)
	if err != nil {
		panic(err)
	}
	tables, err := parseTables(string(text))
	if err != nil {
		panic(fmt.Errorf("%s: %w", path, err))
	}
	return tables
}

func parseTables(text string) ([]table, error) {
	var tables []table
	band := Bands
	for n, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		switch {
		case line == "" || line[0] == '#':
		case line[0] == '[':
			id, rest, closed := strings.Cut(line[1:], "] ")
			name, source, sourced := strings.Cut(rest, " | ")
			if !closed || !sourced || band != Bands {
				return nil, fmt.Errorf("line %d: want [id] name | source after a full block of %d values", n+1, Bands)
			}
			tables = append(tables, table{id: id, name: name, source: source})
			band = 0
		default:
			numbers := strings.Fields(line)
			if len(tables) == 0 || numbers[0] != strconv.Itoa(First+Step*band) || band+len(numbers)-1 > Bands {
				return nil, fmt.Errorf("line %d: want the values from %d nm", n+1, First+Step*band)
			}
			for _, number := range numbers[1:] {
				value, err := strconv.ParseFloat(number, 64)
				if err != nil {
					return nil, fmt.Errorf("line %d: %w", n+1, err)
				}
				tables[len(tables)-1].values[band] = value
				band++
			}
		}
	}
	if band != Bands {
		return nil, fmt.Errorf("the last block ends before %d nm", First+Step*(Bands-1))
	}
	return tables, nil
}
