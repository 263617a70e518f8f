"""What stands beside the drawing: numbers, lists and findings."""
