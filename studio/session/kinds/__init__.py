"""Every kind of event by its subject: what it holds, whether undo may name it, its fold and its sentence."""
