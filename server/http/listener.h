/* The socket that clients connect to. Internal to http/. */
#ifndef MORROWLOAF_HTTP_LISTENER_H
#define MORROWLOAF_HTTP_LISTENER_H

/* Listens at "127.0.0.1:8480" or "[::1]:8480"; sets *port to the one that it got. -1 on failure,
 * which is logged. Caller closes. */
int listener_open(const char *address, int *port);

#endif
