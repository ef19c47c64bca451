package sheets

import (
	"archive/zip"
	"bytes"
	"context"
	"path"

	"scumble/plan"
)

// Kind is the kind of a paper, as HTTP names kinds.
func Kind(name string) string {
	switch path.Ext(name) {
	case ".pdf":
		return "application/pdf"
	case ".csv":
		return "text/csv; charset=utf-8"
	case ".ics":
		return "text/calendar; charset=utf-8"
	case ".json":
		return "application/json"
	case ".svg":
		return "image/svg+xml"
	case ".zip":
		return "application/zip"
	}
	return "application/octet-stream"
}

// Archive makes every paper of a plan into one zip; without prices it leaves out those
// that are priced.
func Archive(ctx context.Context, p *plan.Plan, prices bool, o Options) ([]byte, error) {
	files, err := Pack(ctx, p, o)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range files {
		if Priced(f.Name) && !prices {
			continue
		}
		part, err := z.Create(f.Name)
		if err != nil {
			return nil, err
		}
		if _, err := part.Write(f.Content); err != nil {
			return nil, err
		}
	}
	err = z.Close()
	return out.Bytes(), err
}
