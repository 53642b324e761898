"""Pictures of what the rooms below have computed: still ones and ones that move."""
