"""Tables of devices and how the coach reads them: mappings kept by name, looking at a table before it is added."""
