package main

import (
	"errors"

	"github.com/sourcegraph/conc/panics"
	"github.com/spf13/cobra"

	"onegrain/studies"
)

// execute runs one command line and returns its exit code.
func execute(args []string, s streams) (code int) {
	fault := panics.Try(func() {
		root := tree(s)
		root.SetArgs(args)
		root.SetIn(s.in)
		root.SetOut(s.out)
		root.SetErr(s.err)
		if err := root.Execute(); err != nil && !quiet(err) {
			explain(s, err)
			code = codeOf(err)
		}
	})
	if fault == nil {
		return code
	}
	if handed, ok := fault.Value.(*panics.Recovered); ok { // from another goroutine, with its own stack
		fault = handed
	}
	s.say("internal error: %v; please send the study, this command line and the lines below to the maintainers\n\n%s",
		fault.Value, fault.Stack)
	return exitInternal
}

// explain prints an error, which names what was wrong and what to do next.
func explain(s streams, err error) {
	if text := err.Error(); text != "" {
		s.say("%s", text)
	}
	var problems studies.Problems
	if errors.As(err, &problems) && len(problems) > 1 {
		s.say("%d problems in %s; nothing was run", len(problems), problems[0].File)
	}
	if codeOf(err) == exitStorage {
		s.say("%s; what was finished is kept, and the same command continues", storageCause(err))
	}
}

// tree is all commands.
func tree(s streams) *cobra.Command {
	root := command("onegrain", func(c *cobra.Command, args []string) error {
		if len(args) > 0 {
			return usage(unknownCommand(c, args[0]))
		}
		return c.Help()
	})
	root.Version, root.SilenceErrors, root.SilenceUsage, root.Args = version(), true, true, cobra.ArbitraryArgs
	root.SetHelpTemplate(helpTemplate)
	root.SetUsageTemplate(helpTemplate)
	root.SetVersionTemplate("onegrain {{.Version}}\n")
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usage(errors.New(plainFlag(err.Error()) + "; see `" + c.CommandPath() + " --help`"))
	})
	fillPages(root)
	root.SetHelpCommand(helpCommand(root))
	root.CompletionOptions.SetDefaultShellCompDirective(cobra.ShellCompDirectiveDefault)
	root.AddCommand(runCommand(s), checkCommand(s), showCommand(s), reportCommand(s), drawCommand(s), adviseCommand(s),
		nextCommand(s),
		fitCommand(s), materialsCommand(s), exampleCommand(s), submitCommand(s), compareCommand(s), mergeCommand(s),
		auditCommand(s))
	root.AddCommand(topics(root)...)
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		if c.Name() == "completion" {
			c.Short = "print the completion script of a shell: bash, fish, powershell or zsh"
		} else if c.Runnable() {
			c.Use, c.DisableFlagsInUseLine = c.Use+" [options]", true
		}
	}
	return root
}

// helpCommand prints the page of a command or topic.
func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use: "help [COMMAND or PAGE]", Short: "explain a command or a page", DisableFlagsInUseLine: true,
		RunE: func(_ *cobra.Command, args []string) error {
			c, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 {
				return usage(unknownCommand(root, append(rest, args...)[0]))
			}
			return c.Help()
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			var names []string
			for _, c := range root.Commands() {
				names = append(names, c.Name())
			}
			return names, cobra.ShellCompDirectiveNoFileComp
		},
	}
}
