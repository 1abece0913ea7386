"""The command line: thin. The commands on protocols and sessions in one module, each sum's in one of its own."""
