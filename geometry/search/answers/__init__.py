"""What a maker asks of one head: a missed hole, other tuners, two heads side by side."""
