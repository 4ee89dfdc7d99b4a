
# The marks, figures and sheets of the workbook that is named: the program says them.
function __seamtally_words
    set -l asked (commandline -opc)
    $asked --complete-word=(commandline -ct) 2>/dev/null
end
complete -c seamtally -n '__fish_seen_subcommand_from explain' -a '(__seamtally_words)'
complete -c seamtally -n '__fish_seen_subcommand_from price' -l set -r -f -a '(__seamtally_words)'
complete -c seamtally -n '__fish_seen_subcommand_from price' -l settle -r -f -a '(__seamtally_words)'
complete -c seamtally -n '__fish_seen_subcommand_from price' -l with -r -f -a '(__seamtally_words)'
complete -c seamtally -n '__fish_seen_subcommand_from compare' -l of -r -f -a '(__seamtally_words)'
complete -c seamtally -n '__fish_seen_subcommand_from calibrate' -l also -r -f -a '(__seamtally_words)'
complete -c seamtally -n '__fish_seen_subcommand_from traveller' -l car -r -f -a '(__seamtally_words)'
