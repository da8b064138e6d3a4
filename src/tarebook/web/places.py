"""Whose a connection or a try is: an address, or the network of one."""

from __future__ import annotations

import functools
import ipaddress


@functools.lru_cache(maxsize=4096)
def place_of(address: str) -> str:
    """Return what is counted by: an address, or the network of one in IPv6.

    One device has a whole network of addresses there, and could take another for every try.

    Examples
    --------
    >>> place_of("192.0.2.7"), place_of("::ffff:192.0.2.7"), place_of("2001:db8:0:1:f::1")
    ('192.0.2.7', '192.0.2.7', '2001:db8:0:1::/64')
    """
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return address
    if isinstance(found, ipaddress.IPv4Address):
        return str(found)
    if found.ipv4_mapped is not None:
        return str(found.ipv4_mapped)
    return str(ipaddress.ip_network((found, 64), strict=False))
