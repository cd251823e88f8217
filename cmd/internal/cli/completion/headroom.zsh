#compdef headroom
# Completion of headroom for zsh. Into a folder of $fpath, before compinit:
#   headroom completion zsh > "${fpath[1]}/_headroom"
# or in ~/.zshrc, after compinit:
#   eval "$(headroom completion zsh)"

_headroom() {
	local line directive prefix
	local -a values shown
	while IFS= read -r line; do
		if [[ $line == :* ]]; then
			directive=${line%% *}
			[[ $line == *' '* ]] && prefix=${line#* }
			continue
		fi
		values+=("${line%%$'\t'*}")
		if [[ $line == *$'\t'?* ]]; then
			shown+=("${line%%$'\t'*}  -- ${line#*$'\t'}")
		else
			shown+=("$line")
		fi
	done < <(command headroom __complete -- "${(@Q)words[2,CURRENT-1]}" "${(Q)PREFIX}" 2>/dev/null)

	local found=1
	# compadd quotes what the shell would take for its own.
	(( ${#values} )) && compadd -l -d shown -a values && found=0
	if [[ -n $prefix ]]; then
		PREFIX=${PREFIX#"$prefix"}
		IPREFIX+=$prefix
	fi
	case $directive in
	(:files) _files && found=0 ;;
	(:folders) _files -/ && found=0 ;;
	esac
	return found
}

if [[ $funcstack[1] == _headroom ]]; then
	_headroom "$@"
else
	compdef _headroom headroom
fi
