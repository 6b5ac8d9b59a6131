"""The workshop's pages: the visits, their findings, and the plan that comes of them."""
