"""The workshop's own certificate authority: what it may vouch for, its files, its successor."""
