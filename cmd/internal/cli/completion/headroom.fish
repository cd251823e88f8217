# Completion of headroom for fish:
#   headroom completion fish > ~/.config/fish/completions/headroom.fish

function __headroom_complete
    set -l words (commandline --cut-at-cursor --tokenize --current-process)
    set -l word (commandline --cut-at-cursor --current-token)
    # The word at the cursor as the program would get it, without the quotes.
    set -l bare (string replace --regex '^["\']' '' -- $word | string unescape)
    for line in (command headroom __complete -- $words[2..] "$bare" 2>/dev/null)
        switch $line
            case ':files*' ':folders*'
                set -l prefix (string match --regex --groups-only '^:\S+ (.*)$' -- $line)
                set -l name (string replace -- "$prefix" '' "$bare")
                set -l found
                if string match --quiet ':files*' -- $line
                    set found (__fish_complete_path "$name")
                else
                    set found (__fish_complete_directories "$name" '')
                end
                for path in $found
                    echo -- "$prefix$path"
                end
            case ':*'
            case '*'
                echo -- $line
        end
    end
end

complete --command headroom --no-files --arguments '(__headroom_complete)'
