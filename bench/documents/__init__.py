"""The maker's TOML: patterns, structures, commissions, settings, stock."""
