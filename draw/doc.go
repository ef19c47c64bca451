// Package draw is one scene in millimetres, with text shaped for any script,
// written as PDF, SVG, PNG or (for walls at full size) DXF.
//
// It knows nothing of paint or rooms. A page is a list of items: paths, lines of
// text, images and groups; Flow fills pages with headings, paragraphs and tables.
// This package holds the scene, the laying out of text and tables, and one walk
// over the items for each kind of file; the files themselves are made by the
// packages below it, which know nothing of a scene.
//
//	fonts := draw.NewFonts()
//	page := draw.Page{W: 100, H: 60, Items: []draw.Item{
//		draw.Rect(10, 10, 80, 30).Stroked(draw.Ink(0.35, draw.Black)),
//		draw.Label(50, 46, "3 600", draw.Style{Size: 8}, draw.Centre),
//	}}
//	err := fonts.WritePDF(w, draw.Doc{Title: "North wall", Pages: []draw.Page{page}})
//
// Pages count in mm from the top left corner with y down. The same input gives
// the same bytes.
package draw
