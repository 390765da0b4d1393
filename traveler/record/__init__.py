"""The shop's file: an append-only event log with its hash chains, attachments, backup and verification."""
