/* The pages: all files of one folder, read into memory at the start. Internal to http/. */
#ifndef MORROWLOAF_HTTP_STATIC_FILES_H
#define MORROWLOAF_HTTP_STATIC_FILES_H

#include "http/request.h"

#include <microhttpd.h>

struct static_files;

struct static_file {
    char *path; /* as in the address: "/scripts/order.js" */
    void *bytes;
    size_t length;
    char etag[ETAG_SIZE];
    struct MHD_Response *whole;   /* 200 */
    struct MHD_Response *unmoved; /* 304 */
};

/* NULL on failure, which is logged. Caller frees with static_files_free(). */
struct static_files *static_files_read(const char *folder);
void static_files_free(struct static_files *files);

/* The file at a decoded path, or NULL; "/" is "/index.html". */
const struct static_file *static_files_find(const struct static_files *files, const char *path);

#endif
