"""The arithmetic of packs: heights and clearances, plates and shims to choose, torque."""
