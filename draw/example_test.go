package draw_test

import (
	"bytes"
	"fmt"

	"scumble/draw"
)

func Example() {
	fonts := draw.NewFonts()
	flow := draw.NewFlow(fonts, draw.FlowOptions{Paper: draw.A4, Footer: func(n, total int, area draw.Box) []draw.Item {
		return []draw.Item{draw.Label(area.X+area.W, area.Y+10, fmt.Sprintf("%d of %d", n, total), draw.Style{Size: 8}, draw.Right)}
	}})
	flow.Heading("North wall", draw.Style{Size: 14, Bold: true})
	flow.Paragraph("Set out from the centre line. All sizes in millimetres.", draw.Style{Size: 9})
	flow.Block(60, func(b draw.Box) []draw.Item {
		wall := draw.Rect(b.X+10, b.Y+5, 90, 45).Filled(draw.RGB(214, 196, 168)).Stroked(draw.Ink(0.35, draw.Black))
		return []draw.Item{wall, draw.Label(b.X+55, b.Y+55, "3\u202f600", draw.Style{Size: 7}, draw.Centre)}
	})
	flow.Table(draw.Table{
		Columns: []draw.Column{{Title: "Part", Flex: 1}, {Title: "Area", Unit: "m²", Align: draw.Right}},
		Rows: []draw.Row{
			{Cells: draw.Cells("Wall", "6.48")},
			{Cells: draw.Cells("less the window", "\u22121.20")},
			{Kind: draw.SumRow, Cells: draw.Cells("To paint", "5.28")},
		},
	})
	pages := flow.Pages()
	var file bytes.Buffer
	err := fonts.WritePDF(&file, draw.Doc{Title: "North wall", Lang: "en", Pages: pages})
	fmt.Println(len(pages), pages[0].Title, string(file.Bytes()[:8]), err)
	// Output: 1 North wall %PDF-1.7 <nil>
}
