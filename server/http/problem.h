/* The problem that needs no memory. Internal to http/. */
#ifndef MORROWLOAF_HTTP_PROBLEM_H
#define MORROWLOAF_HTTP_PROBLEM_H

enum { RETRY_AFTER_S = 2 }; /* of every 503 */

#define PROBLEM_TYPE "application/problem+json"

/* The body of a 503 for when memory is short. */
extern char problem_of_memory[];

#endif
