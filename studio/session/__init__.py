"""The session: what happened, what comes next, and how much time is left. Pure; no files, no screens.

`clock` readings of time · `events` and `kinds` what a session file tells · `state` and `folding` events folded into a
state · `timers` elapsed and remaining · `alarms` what is due to sound · `commands` and `decide` what a key means ·
`path` which step comes next · `live` what the bench works out · `after` what a session comes to.
"""
