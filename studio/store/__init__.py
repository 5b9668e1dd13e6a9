"""What is kept: the append-only session file, its lock, its repair, its proof, and the studio folder.

- `line` - one event as one line of bytes, and back
- `reading` - a whole session file, resynchronised after any damage
- `journal` - the one writer; an event is returned only when it is on disk
- `lock` - one writer for each session
- `repair` - what is done before a session goes on
- `verify` - whether a session file can be trusted
- `folder` - the studio folder
- `atomic` - whole files, replaced or not at all
- `disk` - the calls to the operating system that tests make fail
- `system_clock` - the clock of this machine
- `errors` - one sentence for everything that can go wrong

CRC-32 and SHA-256 here find accidents, not forgers: whoever can write the file can also recompute them.
"""
