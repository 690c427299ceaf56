"""Text files of the room, in and out: the room folder.

Text comes in, values and faults go out, and back. Does not live here: rules
between rows (`room.check`), SQL (`store`).
"""

from roomtasks.files.faults import FileFault
from roomtasks.files.folder import Folder, read_folder
from roomtasks.files.write import write_folder

__all__ = ["FileFault", "Folder", "read_folder", "write_folder"]
