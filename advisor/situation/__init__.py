"""The facts that rules are asked with: flat, every one a registered measure."""
