"""A drive dressed as a machine: what is bought, the reducer and its file, its room, same parts."""
