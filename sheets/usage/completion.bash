# bash completion for seamtally; in ~/.bashrc:
#   source <(seamtally completion bash)
_seamtally() {
	local words=() word glue= raw quoted
	for raw in "${COMP_WORDS[@]:0:COMP_CWORD+1}"; do
		word=${raw//\\/}
		word=${word#[\"\']}
		word=${word%[\"\']}
		# bash takes words apart at =, as in --set shop_rate=110.
		if [[ ($glue || $raw == =) && ${#words[@]} -gt 0 ]]; then
			words[-1]+=$word
		else
			words+=("$word")
		fi
		[[ $raw == = ]] && glue=1 || glue=
	done
	local cur=${words[-1]}
	unset 'words[-1]'
	COMPREPLY=()
	# The program knows its commands and flags, and the marks, figures and sheets of
	# the workbook that is named. What it says nothing of is a file: bash's own matter.
	while IFS= read -r word; do
		[[ ${word,,} == "${cur,,}"* ]] || continue
		[[ $word == *[=.!] ]] && compopt -o nospace 2>/dev/null
		quoted=$word
		[[ $raw == [\"\']* ]] || printf -v quoted %q "$word"
		COMPREPLY+=("$quoted")
	done < <("${words[@]}" --complete-word="$cur" 2>/dev/null)
}
complete -o bashdefault -o default -F _seamtally seamtally
