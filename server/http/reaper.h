/* Ends connections that take too long. Internal to http/.
 *
 * libmicrohttpd's own timeout is about silence: a client that drips a byte a second would live for
 * ever. Here every connection has a point in time by which it must have come further.
 */
#ifndef MORROWLOAF_HTTP_REAPER_H
#define MORROWLOAF_HTTP_REAPER_H

#include <stdbool.h>
#include <stdint.h>

struct reaper;
struct watch; /* on one connection */

/* Milliseconds of a clock that only goes forward. */
int64_t monotonic_ms(void);

/* NULL when memory or threads are short, which is logged. */
struct reaper *reaper_start(void);
/* All connections must have been taken from it. NULL is allowed. */
void reaper_stop(struct reaper *reaper);

/* Watches a socket, which is shut down after that many seconds unless something else is set. NULL
 * when memory is short. */
struct watch *reaper_add(struct reaper *reaper, int socket, int seconds);
/* A new time from now. NULL as watch is allowed here and below. */
void reaper_set(struct watch *watch, int seconds);
/* As reaper_set(), unless the time is up sooner already. */
void reaper_tighten(struct watch *watch, int seconds);
/* Lets it take as long as it wants: it waits for us. */
void reaper_pause(struct watch *watch);
/* Before the socket is closed: stops watching. A socket whose client is still sending is kept open
 * a little longer and read empty, if so wanted: closing it at once would reset the connection, and
 * the client would lose the answer that it has not read yet. */
void reaper_remove(struct watch *watch);
void reaper_linger(struct watch *watch);

#endif
