"""The local page, served from this computer to this computer.

serve    a socket on the loopback address, the address with its token, the server's run
app      the rooms below put together
guard    who may speak to the desk at all
routes   what can be asked; intake and bundle: bytes in, ZIP out
shelf    the class's folder on disk
ushers   which drawing is read when, and what the page is told meanwhile
bench    a helper process held to time and memory; backroom: what runs inside it
page     a Study as plain values for the page
static/  the page itself
"""
