package measured

import (
	"fmt"
	"strings"
)

// isCGATS says whether some line begins a CGATS table.
func isCGATS(text string) bool {
	return strings.Contains("\n"+strings.ToUpper(text), "\nBEGIN_DATA")
}

// cgatsFile is how far the reading of a CGATS.17 / ISO 28178 file has come.
type cgatsFile struct {
	*reader
	open   string // the block being read, BEGIN_DATA_FORMAT or BEGIN_DATA, or ""
	opened Place
	header []cell          // fields of the format; the next table has them too unless it names others
	all    Sample          // said by keywords
	white  float64         // SPECTRAL_NORM, 0 if not said
	counts map[string]cell // NUMBER_OF_SETS, NUMBER_OF_FIELDS of the table to come
	table  *table          // nil while its format is missing
	begun  []cell          // a row that may go on in the next line
}

// cgats reads keyword lines and tables. Keywords that say nothing about measured
// colour are passed over.
func (r *reader) cgats() {
	f := &cgatsFile{reader: r, counts: map[string]cell{}}
	row := 0
	for line := range strings.SplitSeq(r.text, "\n") {
		row++
		cells := r.split(line, row, blanks)
		switch {
		case len(cells) == 0:
		case len(cells) > maxColumns || len(f.header) > maxColumns:
			r.wrong(cells[0].at, "", fmt.Sprintf("there are more than %d values in a row", maxColumns), "this is no table of measured colours; export it again")
			return
		case strings.HasPrefix(strings.ToUpper(cells[0].text), "BEGIN_DATA"):
			f.end("")
			f.begin(cells)
		case f.open == "BEGIN_DATA_FORMAT":
			f.format(cells)
		case f.open == "BEGIN_DATA":
			f.data(line, cells)
		default:
			f.keyword(cells)
		}
	}
	f.end("")
}

// keyword reads a line outside the blocks.
func (f *cgatsFile) keyword(cells []cell) {
	word := strings.ToUpper(cells[0].text)
	said := cell{at: cells[min(1, len(cells)-1)].at}
	var words []string
	for _, c := range cells[1:] {
		words = append(words, c.text)
	}
	said.text = strings.Join(words, " ")
	switch word {
	case "NUMBER_OF_SETS", "NUMBER_OF_FIELDS":
		f.counts[word] = said
	case "SPECTRAL_NORM":
		if v, ok := f.number(said, "", word); ok && v > 0 {
			f.white = v
		}
	case "WEIGHTING_FUNCTION": // "ILLUMINANT, D50" or "OBSERVER, 2 degree"
		what, value, _ := strings.Cut(said.text, ",")
		f.describe(&f.all, kinds[keyName(what)], cell{value, said.at})
	default:
		f.describe(&f.all, kinds[keyName(word)], said)
	}
}

// begin opens a block.
func (f *cgatsFile) begin(cells []cell) {
	f.open, f.opened = strings.ToUpper(cells[0].text), cells[0].at
	if f.open == "BEGIN_DATA_FORMAT" {
		f.header = nil
		f.format(cells[1:])
		return
	}
	f.open = "BEGIN_DATA"
	f.count("NUMBER_OF_FIELDS", len(f.header), "fields")
	if _, said := f.counts["NUMBER_OF_SETS"]; !said {
		f.wrong(f.opened, "NUMBER_OF_SETS", "the count of samples is missing, so a cut-off file would not be noticed", "write NUMBER_OF_SETS and the count above BEGIN_DATA")
	}
	if len(f.header) == 0 {
		f.wrong(f.opened, "", "the table has no format", "name its fields between BEGIN_DATA_FORMAT and END_DATA_FORMAT above it")
		return
	}
	fields := columns(f.header)
	for i, c := range fields {
		if c.kind == hex || c.kind >= red && c.kind <= blue {
			fields[i].kind = unknown // figures of a device
		}
	}
	f.table = f.newTable(fields, f.all, f.white)
}

// count checks a count the file declares.
func (f *cgatsFile) count(word string, n int, what string) {
	c, said := f.counts[word]
	if v, ok := number(c.text); said && (!ok || v != float64(n)) {
		f.wrong(c.at, word, fmt.Sprintf("%s %s are declared, there are %d", shown(c.text), what, n), "mend the count, or look for what is missing")
	}
}

// format takes in the names of fields until the block ends.
func (f *cgatsFile) format(cells []cell) {
	for _, c := range cells {
		if strings.EqualFold(c.text, "END_DATA_FORMAT") {
			f.end("END_DATA_FORMAT")
			return
		}
		if n := len(f.header); n > 0 && strings.EqualFold(f.header[n-1].text, "nm") {
			if _, ok := bandName(c.text); ok { // a field written "nm 400"
				f.header[n-1].text += c.text
				continue
			}
		}
		f.header = append(f.header, c)
	}
}

// data takes in a line of a table. A row may go on over several lines: lines shorter
// than a row are put together if they come out at a row exactly.
func (f *cgatsFile) data(line string, cells []cell) {
	last := cells[len(cells)-1]
	ends := strings.EqualFold(last.text, "END_DATA")
	if ends {
		cells = cells[:len(cells)-1]
	}
	if want := len(f.header); f.table != nil && len(cells) > 0 {
		if len(cells) != want && !ends && strings.Contains(line, "\t") {
			// Between tabs, cells may be empty or hold spaces.
			if tabbed := f.split(line, last.at.Line, '\t'); len(tabbed) == want {
				cells = tabbed
			}
		}
		if len(f.begun) > 0 && len(f.begun)+len(cells) > want {
			f.flush()
		}
		if f.begun = append(f.begun, cells...); len(f.begun) >= want {
			f.flush()
		}
	}
	if ends {
		f.end("END_DATA")
	}
}

// flush takes in the row that was begun.
func (f *cgatsFile) flush() {
	if len(f.begun) > 0 {
		f.table.row(f.begun)
	}
	f.begun = nil
}

// end closes the block that is open with the word that ends it, "" when it is missing.
func (f *cgatsFile) end(word string) {
	if want := strings.Replace(f.open, "BEGIN", "END", 1); want != word {
		f.wrong(f.opened, "", f.open+" has no "+want, "the file may be cut off: export it again, or write "+want+" where the block ends")
	}
	if f.open == "BEGIN_DATA" && f.table != nil {
		f.flush()
		f.table.close()
		f.count("NUMBER_OF_SETS", f.table.rows, "samples")
	}
	if f.open == "BEGIN_DATA" {
		f.table, f.counts = nil, map[string]cell{}
	}
	f.open = ""
}
