package main

// completionScripts are the scripts that make a shell ask "ripeward candidates"
// what the word at the cursor can become.
var completionScripts = map[string]string{
	"bash": `# What the shell offers after ripeward; for ~/.bashrc:
#   source <(ripeward completion bash)
_ripeward() {
  local line word=${COMP_WORDS[COMP_CWORD]}
  [ "$word" = "=" ] && word=
  COMPREPLY=()
  while IFS= read -r line; do
    case $line in
      :folders)
        compopt -o filenames 2>/dev/null
        while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen -d -- "$word")
        ;;
      :files)
        compopt -o filenames 2>/dev/null
        while IFS= read -r line; do COMPREPLY+=("$line"); done < <(compgen -f -- "$word")
        ;;
      *) COMPREPLY+=("${line%%$'\t'*}") ;;
    esac
  done < <("$1" candidates -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -F _ripeward ripeward
`,
	"zsh": `#compdef ripeward
# What the shell offers after ripeward; for ~/.zshrc, after compinit:
#   source <(ripeward completion zsh)
_ripeward() {
  local line text about
  local -a offers
  for line in "${(@f)$(ripeward candidates -- "${(@)words[2,CURRENT]}" 2>/dev/null)}"; do
    case $line in
      '') ;;
      :folders) _files -/ ;;
      :files) _files ;;
      *)
        text=${line%%$'\t'*}
        about=
        [[ $line == *$'\t'* ]] && about=${line#*$'\t'}
        offers+=("${text//:/\\:}:$about")
        ;;
    esac
  done
  (( ${#offers} )) && _describe 'ripeward' offers
}
if [ "$funcstack[1]" = _ripeward ]; then
  _ripeward "$@"
else
  compdef _ripeward ripeward
fi
`,
	"fish": `# What the shell offers after ripeward; for ~/.config/fish/completions/ripeward.fish
function __ripeward_candidates
  set -l words (commandline -opc)
  set -e words[1]
  set -l word (commandline -ct)
  for line in (ripeward candidates -- $words "$word" 2>/dev/null)
    switch $line
      case ':folders'
        __fish_complete_directories "$word"
      case ':files'
        __fish_complete_path "$word"
      case '*'
        echo $line
    end
  end
end
complete -c ripeward -f -a '(__ripeward_candidates)'
`,
}
