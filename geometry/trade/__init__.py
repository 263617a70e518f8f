"""What the trade and its handbooks say: tables and formulas, each with its source."""
