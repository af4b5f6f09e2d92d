"""The local page, served from this computer to this computer.

serve    a socket on the loopback address, the address with its token, the server's run
app      the rooms below put together
guard    who may speak to the desk at all
routes   what can be asked; intake and bundle: bytes in, ZIP out
shelf    the class's folder on disk
ushers   which drawing is read when, and what the page is told meanwhile
gathered files that tell of several drawings together
bench    a helper process held to time and memory; backroom: what runs inside it
memory   letters drawn before, so that a correction costs only what it changes
page     a Study as plain values for the page
static/  the page itself
"""
