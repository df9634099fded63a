/* A server with a small service of its own, for tests: no database, one known token ("good"). */
#ifndef MORROWLOAF_TEST_BAKEHOUSE_H
#define MORROWLOAF_TEST_BAKEHOUSE_H

#include "http/daemon.h"

#include <stdatomic.h>

extern struct daemon *bakehouse;
extern int bakehouse_port;
/* What a started server is made with; change it before bakehouse_start(). */
extern struct daemon_settings bakehouse_settings;

void bakehouse_start(void);
/* Stops it, if that was not done, and removes its folder of pages. */
void bakehouse_stop(void);

/* How many requests reached a worker, are in one now, and how many workers are open. */
extern atomic_int bakehouse_performed, bakehouse_inside, bakehouse_open;
/* Requests for /api/v1/ovens wait while this is true. */
extern atomic_bool bakehouse_shut;
/* Waits until so many are inside; false after some seconds. */
bool bakehouse_wait_inside(int count);
/* What the last request to reach a worker had. */
extern struct bakehouse_seen {
    bool trusted_origin;
    struct precondition precondition;
    char client[64], cookie[64], key[300], query[200], body[300], params[200];
} bakehouse_seen;

#endif
