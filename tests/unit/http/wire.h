/* A client that sends bytes as they are, for tests. One thread, one answer at a time. */
#ifndef MORROWLOAF_TEST_WIRE_H
#define MORROWLOAF_TEST_WIRE_H

#include <stdbool.h>
#include <stddef.h>

enum { WIRE_HEAD_MAX = 16 * 1024, WIRE_BODY_MAX = 4 * 1024 * 1024 };

struct answer {
    int status; /* 0: none came before the connection's end */
    char head[WIRE_HEAD_MAX];
    char body[WIRE_BODY_MAX];
    size_t length;
};

int wire_open(int port);
/* False when the server did not take all of it. */
bool wire_send(int wire, const char *text);
/* The next answer. After a HEAD there is no body, whatever the head says. */
const struct answer *wire_answer(int wire);
const struct answer *wire_head_answer(int wire);
/* All that comes until the server ends the connection, in memory of the next call. */
const char *wire_rest(int wire);
/* Whether the server ends the connection within that time, without another byte. */
bool wire_ended(int wire, int milliseconds);

/* The whole talk on a connection of its own: sends and returns the first answer. */
const struct answer *wire_ask(int port, const char *text);
/* The value of a header of the answer, NULL when it is not there, in memory of the next call. */
const char *answer_header(const struct answer *answer, const char *name);
bool answer_holds(const struct answer *answer, const char *words);

/* Heads of requests with a good token: begin with the request line, end with "\r\n". */
#define HOST      "Host: bakehouse\r\n"
#define TOKEN     "Authorization: Bearer good\r\n"
#define JSON      "Content-Type: application/json\r\n"
#define GET(path) "GET " path " HTTP/1.1\r\n" HOST TOKEN

#endif
