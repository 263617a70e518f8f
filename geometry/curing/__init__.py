"""What cures a finding: changes that were judged before they are offered."""
