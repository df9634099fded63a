/* What the parts of a running server share. Internal to http/. */
#ifndef MORROWLOAF_HTTP_SERVER_H
#define MORROWLOAF_HTTP_SERVER_H

#include "http/daemon.h"

#include <microhttpd.h>
#include <pthread.h>
#include <stdatomic.h>

struct reaper;
struct static_files;
struct workers;

struct daemon {
    const struct service *service;
    struct MHD_Daemon *http;
    int listener; /* -1: closed */
    int port;
    int receive_s;
    struct reaper *reaper;
    struct workers *workers;
    struct static_files *files;
    struct MHD_Response *no_memory; /* the 503 that needs none */
    atomic_bool stopping;

    pthread_mutex_t lock; /* of what follows */
    pthread_cond_t changed;
    size_t open; /* exchanges begun and not complete */
};

#endif
