"""What window and command line both do to take a real head in: readers by the kind of file, and a build of it."""
