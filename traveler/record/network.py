"""File systems on which SQLite's locks cannot be relied on.

SQLite's own pages "Over a Network" and "How To Corrupt An SQLite Database File" advise against a database on
a network file system: a lock that is not honoured loses commits without a word. A shop with several benches
logs in to the one machine that holds the file instead.
"""

import os
import re
import sys
from pathlib import Path

# 9p is left out on purpose: container sandboxes offer it as an ordinary local root.
NETWORK_TYPES = frozenset(
    {
        *("nfs", "nfs4", "cifs", "smb3", "smbfs", "ncpfs", "afs", "ceph", "glusterfs", "lustre", "davfs"),
        *("vboxsf", "vmhgfs", "fuse.vmhgfs-fuse"),
        *("fuse.sshfs", "fuse.glusterfs", "fuse.rclone", "fuse.davfs", "fuse.s3fs"),
    }
)
MOUNT_TABLE = Path("/proc/self/mountinfo")


def network_type(path: Path) -> str | None:
    """The network file system that ``path`` (resolved) lies on; None for a local one or where unknown.

    Known on Linux from the mount table and on Windows from a path that begins with a server's name. Elsewhere
    the type is not asked for.
    """
    if sys.platform == "win32":
        return "network share" if str(path).startswith("\\\\") else None
    try:
        table = MOUNT_TABLE.read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        return None
    found = mount_type(path, table)
    return found if found in NETWORK_TYPES else None


def mount_type(path: Path, table: str) -> str | None:
    """The file system type that holds ``path`` by a mount table in the form of proc(5), mountinfo."""
    longest, found = -1, None
    for line in table.splitlines():
        before, separator, after = line.partition(" - ")
        fields = before.split(" ")
        if not separator or len(fields) < 5:
            continue
        mounted_on = Path(_unescaped(fields[4]))
        depth = len(mounted_on.parts)
        # A later line at the same place is mounted over the earlier one, hence not "greater than".
        if depth >= longest and (path == mounted_on or mounted_on in path.parents):
            longest, found = depth, after.split(" ")[0]
    return found


def _unescaped(field: str) -> str:
    """proc(5) writes space, tab, line feed and backslash as three octal digits."""
    return os.fsdecode(re.sub(rb"\\([0-7]{3})", lambda octal: bytes([int(octal[1], 8)]), os.fsencode(field)))
