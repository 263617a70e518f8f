"""The commands of the command line: a module each, loaded when the command is given."""
