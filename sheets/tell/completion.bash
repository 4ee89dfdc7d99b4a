# bash completion for seamtally; in ~/.bashrc:
#   source <(seamtally completion bash)
_seamtally() {
	local cur=${COMP_WORDS[COMP_CWORD]} line
	local asked=("${COMP_WORDS[@]:0:COMP_CWORD}")
	COMPREPLY=()
	case $cur in
	# A bare -- would end the flags, so a single one asks for all of them.
	--) asked+=(-) ;;
	-*) asked+=("$cur") ;;
	# After a flag: its value or FILE, both files.
	*) [[ ${COMP_WORDS[COMP_CWORD-1]} == -* ]] && return ;;
	esac
	while IFS= read -r line; do
		[[ $line == "$cur"* ]] && COMPREPLY+=("$line")
	done < <("${asked[@]}" --generate-bash-completion 2>/dev/null)
}
complete -o bashdefault -o default -F _seamtally seamtally
