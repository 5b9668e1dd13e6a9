"""The line mode: the same session line by line, for screen readers, dumb terminals and scripts.

`prompt` where lines come from · `reading` what a line asks for · `words` the sentences · `conversation`
what was said and asked, and alarms told while waiting · `commands` the line commands ·
`session` the loop. One event a line, prompts are lines that end in "> "; no colour, no cursor movement.
"""
