"""At home on a desktop: the menu, the kind of file, the icon, the manual and the completion of the shell."""
