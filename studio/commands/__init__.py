"""What can be typed after `potside`: one module for each command or two that belong together."""
