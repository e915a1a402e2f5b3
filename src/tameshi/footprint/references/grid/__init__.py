"""Squared paper of stated pitch."""
