"""Who may reach Bradawl and do what: pairing, people, roles, links, certificates, audit."""
