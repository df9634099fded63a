/* What the environment says, read once into one const struct. A value that makes no sense is
 * refused with a sentence; nothing is guessed. */
#ifndef MORROWLOAF_SETTINGS_H
#define MORROWLOAF_SETTINGS_H

#include "base/log.h"

#include <stdbool.h>
#include <stdint.h>

struct arena;

struct settings {
    const char *conninfo;   /* MORROWLOAF_DB: libpq's connection string; NULL: not set */
    const char *listen;     /* MORROWLOAF_LISTEN: "address:port" */
    const char *sql_folder; /* the three in MORROWLOAF_SHARE */
    const char *static_folder;
    const char *demo_file;
    int readers;              /* MORROWLOAF_READERS: connections that only read */
    int writers;              /* MORROWLOAF_WRITERS: connections that write */
    int deadline_ms;          /* MORROWLOAF_DEADLINE_MS: for one call to the database */
    bool secure_cookie;       /* MORROWLOAF_SECURE_COOKIE: the page is served over HTTPS */
    int64_t bakery_id;        /* MORROWLOAF_BAKERY */
    enum log_level log_level; /* MORROWLOAF_LOG */
};

/* Fills settings from get (getenv, or a test's own). False with a sentence in *wrong, which lives
 * in the arena; NULL there when memory was short. Values are borrowed from get. */
bool settings_read(struct arena *arena, char *(*get)(const char *name), struct settings *settings,
                   const char **wrong);

#endif
