package main

import "github.com/spf13/cobra"

func runCommand(s streams) *cobra.Command {
	return &cobra.Command{Use: "run STUDY.toml", Short: shortRun, Long: longRun, Example: exampleRun, Args: only("STUDY.toml"), RunE: func(c *cobra.Command, args []string) error { return nil }}
}
