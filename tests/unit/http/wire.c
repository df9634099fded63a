/* Sockets for tests. Whatever should not happen fails the test at once. */
#include "wire.h"

#include <arpa/inet.h>
#include <criterion/criterion.h>
#include <netinet/in.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

enum { PATIENCE_MS = 10000 };

int wire_open(int port)
{
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_port = htons((in_port_t)port),
                                  .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    int wire = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    cr_assert_geq(wire, 0);
    cr_assert_eq(connect(wire, (struct sockaddr *)&address, sizeof address), 0);
    return wire;
}

bool wire_send(int wire, const char *text)
{
    size_t length = strlen(text);
    while (length > 0) {
        ssize_t sent = send(wire, text, length, MSG_NOSIGNAL);
        if (sent <= 0) return false;
        text += sent;
        length -= (size_t)sent;
    }
    return true;
}

/* One byte; false at the end of the connection. */
static bool next_byte(int wire, char *byte)
{
    struct pollfd ready = {.fd = wire, .events = POLLIN};
    cr_assert_eq(poll(&ready, 1, PATIENCE_MS), 1, "the server is silent");
    return recv(wire, byte, 1, 0) == 1;
}

static bool read_head(int wire, struct answer *answer)
{
    size_t length = 0;
    answer->head[0] = '\0';
    while (strstr(answer->head, "\r\n\r\n") == NULL) {
        cr_assert_lt(length + 1, WIRE_HEAD_MAX);
        if (!next_byte(wire, &answer->head[length])) return false;
        answer->head[++length] = '\0';
    }
    return true;
}

static void read_body(int wire, struct answer *answer, size_t announced)
{
    cr_assert_lt(announced, WIRE_BODY_MAX);
    while (answer->length < announced) {
        ssize_t got = recv(wire, answer->body + answer->length, announced - answer->length, 0);
        cr_assert_gt(got, 0, "the body is cut off");
        answer->length += (size_t)got;
    }
    answer->body[announced] = '\0';
}

static const struct answer *receive(int wire, bool after_head)
{
    static struct answer answer;
    answer.status = 0;
    answer.length = 0;
    answer.body[0] = '\0';
    if (!read_head(wire, &answer)) return &answer;
    cr_assert_eq(sscanf(answer.head, "HTTP/1.1 %d ", &answer.status), 1, "%s", answer.head);
    const char *length = answer_header(&answer, "Content-Length");
    bool bare = after_head || answer.status == 304 || answer.status == 204 || answer.status == 100;
    if (length != NULL && !bare) read_body(wire, &answer, (size_t)strtoul(length, NULL, 10));
    return &answer;
}

const struct answer *wire_answer(int wire)
{
    return receive(wire, false);
}

const struct answer *wire_head_answer(int wire)
{
    return receive(wire, true);
}

const char *wire_rest(int wire)
{
    static char rest[WIRE_HEAD_MAX];
    size_t length = 0;
    while (length + 1 < WIRE_HEAD_MAX && next_byte(wire, &rest[length]))
        length++;
    rest[length] = '\0';
    return rest;
}

bool wire_ended(int wire, int milliseconds)
{
    char byte;
    struct pollfd ready = {.fd = wire, .events = POLLIN};
    return poll(&ready, 1, milliseconds) == 1 && recv(wire, &byte, 1, 0) <= 0;
}

const struct answer *wire_ask(int port, const char *text)
{
    int wire = wire_open(port);
    wire_send(wire, text);
    const struct answer *answer = receive(wire, strncmp(text, "HEAD ", 5) == 0);
    close(wire);
    return answer;
}

const char *answer_header(const struct answer *answer, const char *name)
{
    static char value[2048];
    size_t length = strlen(name);
    for (const char *line = answer->head; (line = strstr(line, "\r\n")) != NULL;) {
        line += 2;
        if (strncasecmp(line, name, length) != 0 || line[length] != ':') continue;
        line += length + 1 + strspn(line + length + 1, " ");
        snprintf(value, sizeof value, "%.*s", (int)strcspn(line, "\r"), line);
        return value;
    }
    return NULL;
}

bool answer_holds(const struct answer *answer, const char *words)
{
    return strstr(answer->body, words) != NULL;
}
