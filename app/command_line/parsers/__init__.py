"""The options of the commands; they are read at every start, so nothing heavy is loaded here."""
