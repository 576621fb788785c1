"""Rule files turned into typed rules, or into a list of problems."""
