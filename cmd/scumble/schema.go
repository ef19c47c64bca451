package main

import "scumble/job"

type schemaCommand struct{}

// Run prints the schema that editors use to complete and check a job file.
func (schemaCommand) Run(to streams) error {
	text, err := job.Schema()
	if err != nil {
		return err
	}
	_, err = to.out.Write(text)
	return err
}
