# Completion of headroom for bash 3.2 and later. In ~/.bashrc:
#   eval "$(headroom completion bash)"

_headroom() {
	COMPREPLY=()
	# Readline divides words at "=" and ":" too; put them together again as they
	# stand before the cursor.
	local rest=${COMP_LINE:0:COMP_POINT} part= i n=0
	local -a words
	words=()
	for ((i = 0; i <= COMP_CWORD; i++)); do
		if ((i == 0)) || [[ $rest == [[:space:]]* ]]; then
			rest=${rest#"${rest%%[![:space:]]*}"}
			words[n]=
			n=$((n + 1))
		fi
		part=${COMP_WORDS[i]}
		((i == COMP_CWORD)) && part=$rest
		rest=${rest#"$part"}
		words[n - 1]+=$part
	done
	[[ $part == *[!:=]* ]] || part= # readline completes what follows the sign
	local before=${words[n - 1]%"$part"}

	local line directive=
	while IFS= read -r line; do
		case $line in
		:*) directive=${line%% *} ;;
		*)
			line=${line%%$'\t'*}
			case $part in
			[\'\"]*) COMPREPLY+=("$line") ;;
			*) COMPREPLY+=("$(printf %q "$line")") ;;
			esac
			;;
		esac
	done < <(command headroom __complete --quoted --before="$before" -- "${words[@]:1}" 2>/dev/null)

	# Without candidates readline completes the names of files, unless told not to.
	case $directive in
	:files) ;;
	:folders) compopt -o dirnames +o default 2>/dev/null ;;
	*) compopt +o default 2>/dev/null ;;
	esac
}

complete -o default -F _headroom headroom
