# What the server and the commands say of themselves: the frame of every page, errors, settings,
# backups, damage. "Server" and "shop computer" are the same machine: screens say shop computer.

# The frame around every page
server-frame-title = Desk
server-frame-skip = Skip to content
server-frame-menu = Main
server-frame-cars = Cars
server-frame-compare = Compare
server-frame-checklists = Checklists
server-frame-verify = Check a PDF
server-frame-people = Phones and people
server-frame-caution = Bradawl records what was seen. It doesn't replace a licensed inspection; local law decides.
server-frame-about = About Bradawl
# $id is a short code in the server's log
server-request = Asking for help? Quote request { $id }.
# The head of a page that says what went wrong
server-error = That didn't work

# Answers to requests that cannot be carried out
server-http-400 = This request can't be read.
server-http-404 = There's nothing at this address.
server-http-405 = This address doesn't take that kind of request.
server-http-413 = That's too large to send in one request.
server-http-other = The request was turned down.
# $where names the field, such as body.name
server-invalid = Something in this request isn't as described: { $where }.
server-internal = The shop computer made a mistake while answering this.
server-not-ready = The shop computer is on but can't open its records right now; its terminal says why. Nothing is lost: phones keep what they have and send it later.
server-storage-disk-full = The shop computer's disk is full, so nothing was saved. Earlier data is safe, and phones keep what they have. Free up space, then send this again.
server-storage-read-only = The shop computer's disk is read-only right now, so nothing was saved. You can still look things up, and phones keep what they have. Check the data folder's permissions and how its disk is mounted; `bradawl doctor` says more.
server-storage-damaged = The shop computer's database is damaged. What's on a phone is safe: keep it, and run `bradawl doctor` there, which says what to do.
server-storage-busy = The shop computer is busy with something long, so nothing was saved. Phones try again on their own; at the desk, send this again.
server-storage-storage = The shop computer's disk or database isn't responding, so nothing was saved. What's on a phone is safe. Try again; if it keeps happening, run `bradawl doctor` there to find out why.

# Settings of the environment; $given is what stands in them
server-setting-region = BRADAWL_REGION is “{ $given }”. Use us or eu.
server-setting-backups-kept = BRADAWL_BACKUPS_KEPT is “{ $given }”. It's how many daily backups to keep, from 1 to { $most }. BRADAWL_BACKUPS=off makes none.
server-setting-log-json = BRADAWL_LOG_JSON is “{ $given }”. Use 1 for JSON lines, 0 or nothing for text.
server-setting-log-mb = BRADAWL_LOG_MB is “{ $given }”. It's how large one log file may grow, in MB, at least { $least }.
server-setting-log-files = BRADAWL_LOG_FILES is “{ $given }”. It's how many log files to keep, from 1 to 100.
