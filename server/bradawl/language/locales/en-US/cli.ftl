# The commands of `bradawl`: help, what they print. Names of commands and options stay.

cli-about = Look over an older car on the spot, rate it, and sign the report.
cli-commands = commands
