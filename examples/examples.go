// Package examples builds whole example jobs into the program. Bellwether House
// and everything in it is invented.
package examples

import _ "embed"

// BellwetherName is how the demonstration job is named in messages.
const BellwetherName = "examples/bellwether/job.yaml"

// Bellwether is the demonstration job.
//
//go:embed bellwether/job.yaml
var Bellwether []byte
