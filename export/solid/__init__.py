"""The drill guide as a solid, for a printer that lays plastic in layers."""
