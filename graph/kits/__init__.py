"""Kits and packs: what a kit should contain, what came, and how its plates can stack."""
