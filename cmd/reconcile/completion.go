package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"
)

func completionVerb() verb {
	return verb{
		name:    "completion",
		args:    "bash|zsh|fish",
		short:   "print a completion script for a shell",
		example: "source <(reconcile completion bash)",
		run:     runCompletion,
	}
}

// shells are the completion scripts that can be printed.
func shells() map[string]func(io.Writer) {
	return map[string]func(io.Writer){"bash": bashCompletion, "zsh": zshCompletion, "fish": fishCompletion}
}

func runCompletion(args []string, _ *pflag.FlagSet, s streams) int {
	if len(args) != 1 || shells()[args[0]] == nil {
		return s.refuse("completion: want bash, zsh or fish")
	}
	shells()[args[0]](s.out)
	return exitWithin
}

// flagsOf lists a verb's flags as the shell types them.
func flagsOf(v verb) []*pflag.Flag {
	f := pflag.NewFlagSet(v.name, pflag.ContinueOnError)
	f.SortFlags = false
	if v.flags != nil {
		v.flags(f)
	}
	var all []*pflag.Flag
	f.VisitAll(func(flag *pflag.Flag) { all = append(all, flag) })
	return all
}

func flagNames(v verb) string {
	names := []string{"--help"}
	for _, f := range flagsOf(v) {
		names = append(names, "--"+f.Name)
	}
	return strings.Join(names, " ")
}

func bashCompletion(w io.Writer) {
	fmt.Fprintf(w, "_reconcile() {\n\tlocal word=${COMP_WORDS[COMP_CWORD]}\n\tif [ \"$COMP_CWORD\" -eq 1 ]; then\n")
	fmt.Fprintf(w, "\t\tCOMPREPLY=($(compgen -W '%s' -- \"$word\"))\n\t\treturn\n\tfi\n", strings.Join(verbNames(), " "))
	fmt.Fprint(w, "\tcase $word in\n\t--*) ;;\n\t*) COMPREPLY=($(compgen -f -- \"$word\")); return ;;\n\tesac\n\tcase ${COMP_WORDS[1]} in\n")
	for _, v := range verbs() {
		fmt.Fprintf(w, "\t%s) COMPREPLY=($(compgen -W '%s' -- \"$word\")) ;;\n", v.name, flagNames(v))
	}
	fmt.Fprint(w, "\tesac\n}\ncomplete -o filenames -F _reconcile reconcile\n")
}

func zshCompletion(w io.Writer) {
	fmt.Fprint(w, "#compdef reconcile\n_reconcile() {\n\tif (( CURRENT == 2 )); then\n\t\tlocal -a verbs=(\n")
	for _, v := range verbs() {
		fmt.Fprintf(w, "\t\t\t'%s:%s'\n", v.name, quoted(v.short))
	}
	fmt.Fprint(w, "\t\t)\n\t\t_describe verb verbs\n\t\treturn\n\tfi\n\tcase $words[2] in\n")
	for _, v := range verbs() {
		fmt.Fprintf(w, "\t%s) _arguments", v.name)
		for _, f := range flagsOf(v) {
			value := ""
			if f.Value.Type() != "bool" {
				name, _ := pflag.UnquoteUsage(f)
				value = ":" + strings.ToLower(name) + ":_files"
			}
			_, usage := pflag.UnquoteUsage(f)
			fmt.Fprintf(w, " '--%s[%s]%s'", f.Name, bracketed(usage), value)
		}
		fmt.Fprint(w, " '*:file:_files' ;;\n")
	}
	fmt.Fprint(w, "\tesac\n}\n_reconcile \"$@\"\n")
}

// quoted and bracketed keep what would end a zsh word out of it.
func quoted(s string) string {
	return strings.NewReplacer("'", `'\''`, ":", `\:`).Replace(s)
}

func bracketed(s string) string {
	return strings.NewReplacer("'", `'\''`, "[", `\[`, "]", `\]`, ":", `\:`).Replace(s)
}

func fishCompletion(w io.Writer) {
	for _, v := range verbs() {
		fmt.Fprintf(w, "complete -c reconcile -n __fish_use_subcommand -a %s -d '%s'\n", v.name, fishQuoted(v.short))
		for _, f := range flagsOf(v) {
			_, usage := pflag.UnquoteUsage(f)
			needs := ""
			if f.Value.Type() != "bool" {
				needs = " -r"
			}
			fmt.Fprintf(w, "complete -c reconcile -n '__fish_seen_subcommand_from %s' -l %s%s -d '%s'\n", v.name, f.Name, needs, fishQuoted(usage))
		}
	}
}

func fishQuoted(s string) string { return strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(s) }
