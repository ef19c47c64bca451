// Command bundle makes web/asset/files/board.js of the sources in web/script. With -check
// it writes nothing and fails when the file is not what the sources give. It is a module
// of its own, so that building scumble needs none of it.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"

	"github.com/evanw/esbuild/pkg/api"
)

func main() {
	check := flag.Bool("check", false, "compare only")
	root := flag.String("root", "..", "folder of the project")
	flag.Parse()
	if err := bundle(*root, *check); err != nil {
		fmt.Fprintln(os.Stderr, "bundle:", err)
		os.Exit(1)
	}
}

func bundle(root string, check bool) error {
	result := api.Build(api.BuildOptions{
		EntryPoints: []string{root + "/web/script/board.ts"}, Bundle: true, Write: false,
		MinifySyntax: true, MinifyWhitespace: true, MinifyIdentifiers: true,
		Target: api.ES2022, Format: api.FormatIIFE, LegalComments: api.LegalCommentsNone, Charset: api.CharsetUTF8,
	})
	if len(result.Errors) > 0 {
		for _, line := range api.FormatMessages(result.Errors, api.FormatMessagesOptions{}) {
			fmt.Fprint(os.Stderr, line)
		}
		return fmt.Errorf("%d errors", len(result.Errors))
	}
	out := root + "/web/asset/files/board.js"
	made := result.OutputFiles[0].Contents
	if !check {
		return os.WriteFile(out, made, 0o644)
	}
	kept, err := os.ReadFile(out)
	if err != nil {
		return err
	}
	if !bytes.Equal(kept, made) {
		return fmt.Errorf("%s is not what web/script gives; run: make script", out)
	}
	return nil
}
