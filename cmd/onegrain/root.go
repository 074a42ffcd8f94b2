package main

import (
	"errors"

	"github.com/spf13/cobra"

	"onegrain/studies/strict"
)

// execute runs one command line and returns its exit code.
func execute(args []string, s streams) (code int) {
	defer func() {
		if fault := recover(); fault != nil {
			s.say(internal, fault)
			code = exitInternal
		}
	}()
	root := tree(s)
	root.SetArgs(args)
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	err := root.Execute()
	if err == nil || quiet(err) {
		return exitDone
	}
	explain(s, err)
	return codeOf(err)
}

// explain prints an error, which names what was wrong and what to do next.
func explain(s streams, err error) {
	if text := err.Error(); text != "" {
		s.say("%s", text)
	}
	var problems strict.Problems
	if errors.As(err, &problems) && len(problems) > 1 {
		s.say(manyProblems, len(problems), problems[0].File)
	}
	if codeOf(err) == exitStorage {
		s.say("%s; %s", storageCause(err), storageNext)
	}
}

// tree is all commands.
func tree(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:           "onegrain",
		Short:         shortRoot,
		Long:          longRoot,
		Example:       exampleRoot,
		Version:       version(),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usage(unknownCommand(c, args[0]))
			}
			return c.Help()
		},
	}
	root.SetHelpTemplate(helpTemplate)
	root.SetUsageTemplate(helpTemplate)
	root.SetVersionTemplate("onegrain {{.Version}}\n")
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usage(errors.New(plainFlag(err.Error()) + "; see `" + c.CommandPath() + " --help`"))
	})
	root.SetHelpCommand(helpCommand(root))
	root.CompletionOptions.SetDefaultShellCompDirective(cobra.ShellCompDirectiveDefault)
	root.AddCommand(runCommand(s), checkCommand(s), showCommand(s), reportCommand(s), drawCommand(s), adviseCommand(s), fitCommand(s), materialsCommand(s), exampleCommand(s), submitCommand(s), compareCommand(s), mergeCommand(s), auditCommand(s))
	root.AddCommand(topic("study", shortStudy, studyTopic()), topic("results", shortResults, resultsTopic()))
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		if c.Name() == "completion" {
			c.Short = shortCompletion
		} else if c.Runnable() {
			c.Use, c.DisableFlagsInUseLine = c.Use+" [options]", true
		}
	}
	return root
}

// helpCommand prints the page of a command or topic.
func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use: "help [COMMAND or PAGE]", Short: shortHelp, DisableFlagsInUseLine: true,
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

// topic is a page of help without a command.
func topic(name, short, long string) *cobra.Command {
	return &cobra.Command{Use: name, Short: short, Long: long}
}

// only wants exactly the arguments that names tell.
func only(names ...string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) == len(names) {
			return nil
		}
		return usage(wrongArguments(c, args, names))
	}
}
