#compdef seamtally
# zsh completion for seamtally; in ~/.zshrc, after compinit:
#   source <(seamtally completion zsh)
_seamtally() {
	local -a asked found on
	asked=("${(@Q)words[1,CURRENT-1]}")
	# The program knows its commands and flags, and the marks, figures and sheets of
	# the workbook that is named. What it says nothing of is a file.
	found=("${(@f)$("${asked[@]}" --complete-word="${(Q)words[CURRENT]}" 2>/dev/null)}")
	if [[ -z ${found[1]} ]]; then
		_files
		return
	fi
	on=("${(@M)found:#*[=.!]}")
	found=("${(@)found:#*[=.!]}")
	(( ${#on} )) && compadd -S '' -- "${on[@]}"
	(( ${#found} )) && compadd -- "${found[@]}"
}
if [[ ${funcstack[1]} == _seamtally ]]; then
	_seamtally "$@"
else
	compdef _seamtally seamtally
fi
