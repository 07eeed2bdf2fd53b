"""A terminal to run the program in, and what it wrote there."""
import os
import pty
import struct
import fcntl
import termios

BACKCLOTH = os.environ["BACKCLOTH"]


def in_terminal(arguments, columns=80, **more):
    """What `backcloth ARGUMENTS` writes to a terminal, as bytes, and its exit code."""
    environment = dict(os.environ, TERM="xterm-256color", **more)
    environment.pop("COLUMNS", None) if "COLUMNS" not in more else None
    environment.pop("NO_COLOR", None) if "NO_COLOR" not in more else None
    child, terminal = pty.fork()
    if child == 0:
        os.execve(BACKCLOTH, [BACKCLOTH, *arguments], environment)
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    written = b""
    while True:
        try:
            some = os.read(terminal, 65536)
        except OSError:
            break
        if not some:
            break
        written += some
    return written, os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
