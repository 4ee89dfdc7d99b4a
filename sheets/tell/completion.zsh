#compdef seamtally
# zsh completion for seamtally; in ~/.zshrc, after compinit:
#   source <(seamtally completion zsh)
_seamtally() {
	local cur=${words[CURRENT]}
	local -a asked found
	asked=("${(@)words[1,CURRENT-1]}")
	case $cur in
	# A bare -- would end the flags, so a single one asks for all of them.
	--) asked+=(-) ;;
	-*) asked+=("$cur") ;;
	# After a flag: its value or FILE, both files.
	*) if [[ ${words[CURRENT-1]} == -* ]]; then _files; return; fi ;;
	esac
	found=("${(@f)$("${asked[@]}" --generate-bash-completion 2>/dev/null)}")
	if [[ -n ${found[1]} ]]; then
		compadd -- "${found[@]}"
	else
		_files
	fi
}
if [[ ${funcstack[1]} == _seamtally ]]; then
	_seamtally "$@"
else
	compdef _seamtally seamtally
fi
