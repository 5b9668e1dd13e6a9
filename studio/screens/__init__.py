"""What is seen: Textual app, screens, widgets, theme, keys. The only place that imports textual.

`draw` holds pure functions from values to content; screens lay them out and turn keys into commands.
"""
