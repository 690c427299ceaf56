"""A room as a folder of text: room.toml and one CSV file a sheet, both ways."""

from roomtasks.files.fault import FileFault
from roomtasks.files.read import Folder, read_folder
from roomtasks.files.write import write_folder

__all__ = ["FileFault", "Folder", "read_folder", "write_folder"]
