"""What is kept: the append-only session file, its lock, its repair, its proof, and the studio folder.

- `line` - one event as one line of bytes, and back
- `reading` - a whole session file, resynchronised after any damage
- `tape` - the bytes of one open file, locked
- `journal` - the one writer; an event is returned only when it is on disk
- `repair` - what is done before a session goes on
- `copies` - whether a session file can be trusted, and which files are one session
- `folder` - the studio folder
- `files` - whole files, replaced or not at all
- `disk` - the calls to the operating system that tests make fail, and one sentence for each refusal
- `system_clock` - the clock of this machine

CRC-32 and SHA-256 here find accidents, not forgers: whoever can write the file can also recompute them.
"""
