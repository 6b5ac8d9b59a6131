"""PyInstaller: Bradawl compiled, and beside that every file of it as it stands.

Phones are sent the judge's own files, migrations are found by their folder, and caches are named
by a hash of the code.
"""

from PyInstaller.utils.hooks import collect_data_files  # type: ignore[import-not-found]

datas = collect_data_files("bradawl", include_py_files=True)
