/* Waiting for the database, but never longer than the deadline. */
#include "db/link.h"

#include "base/log.h"

#include <errno.h>
#include <limits.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

static int64_t now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

int64_t deadline_after(int milliseconds)
{
    return now_ms() + milliseconds;
}

/* What poll() takes. At least 0: what has come already is still accepted after the deadline. */
static int poll_time(int64_t deadline)
{
    if (deadline == DEADLINE_NONE) return -1;
    int64_t left = deadline - now_ms();
    if (left < 0) return 0;
    return left > INT_MAX ? INT_MAX : (int)left;
}

/* The events that came, or 0 when none did before the deadline. */
static short wait_for(const PGconn *link, short events, int64_t deadline)
{
    struct pollfd waiting = {PQsocket(link), events, 0};
    if (waiting.fd < 0) return 0; /* poll() would sleep until the deadline */
    int ready;
    do {
        ready = poll(&waiting, 1, poll_time(deadline));
    } while (ready < 0 && errno == EINTR);
    return ready > 0 ? waiting.revents : 0;
}

/* Notices are for people at a terminal; warnings are worth a line in the log. */
static void take_notice(void *context, const PGresult *notice)
{
    (void)context;
    const char *severity = PQresultErrorField(notice, PG_DIAG_SEVERITY_NONLOCALIZED);
    const char *text = PQresultErrorField(notice, PG_DIAG_MESSAGE_PRIMARY);
    if (severity != NULL && text != NULL && strcmp(severity, "WARNING") == 0)
        log_warning("the database warns: %s", text);
}

void link_explain(const PGconn *link, char why[LINK_WHY_SIZE])
{
    const char *message = PQerrorMessage(link);
    snprintf(why, LINK_WHY_SIZE, "%s", message[0] == '\0' ? "no answer in time" : message);
    size_t length = strlen(why);
    while (length > 0 && why[length - 1] == '\n')
        why[--length] = '\0';
    for (char *c = why; *c != '\0'; c++) {
        if (*c == '\n' || *c == '\t') *c = ' ';
    }
}

static bool connect_in_time(PGconn *link, int64_t deadline)
{
    PostgresPollingStatusType next = PGRES_POLLING_WRITING;
    if (PQstatus(link) == CONNECTION_BAD) next = PGRES_POLLING_FAILED;
    while (next == PGRES_POLLING_READING || next == PGRES_POLLING_WRITING) {
        short events = next == PGRES_POLLING_READING ? POLLIN : POLLOUT;
        if (wait_for(link, events, deadline) == 0) return false;
        next = PQconnectPoll(link);
    }
    return next == PGRES_POLLING_OK && PQsetnonblocking(link, 1) == 0;
}

PGconn *link_open(const char *conninfo, int64_t deadline, char why[LINK_WHY_SIZE])
{
    const char *const names[] = {"dbname", "fallback_application_name", NULL};
    const char *const values[] = {conninfo, "morrowloaf", NULL};
    PGconn *link = PQconnectStartParams(names, values, 1 /* dbname is a whole conninfo */);
    if (link == NULL || !connect_in_time(link, deadline)) {
        link_explain(link, why);
        PQfinish(link);
        return NULL;
    }
    PQsetNoticeReceiver(link, take_notice, NULL);
    return link;
}

bool link_broken(const PGconn *link)
{
    return PQstatus(link) == CONNECTION_BAD;
}

bool link_next(PGconn *link, int64_t deadline, PGresult **result)
{
    *result = NULL;
    for (;;) {
        int unsent = PQflush(link);
        if (unsent < 0) return false;
        if (unsent == 0 && !PQisBusy(link)) break;
        short events = wait_for(link, unsent > 0 ? POLLIN | POLLOUT : POLLIN, deadline);
        if (events == 0) return false;
        if (events == POLLOUT || PQconsumeInput(link) == 1) continue;
        if (!link_broken(link)) return false;
        break; /* closed by the other end: PQgetResult() says so without waiting */
    }
    *result = PQgetResult(link);
    return true;
}

/* A COPY through the link: nothing here speaks it, and PQgetResult() would repeat it for ever. */
static bool is_copy(const PGresult *result)
{
    ExecStatusType status = PQresultStatus(result);
    return status == PGRES_COPY_IN || status == PGRES_COPY_OUT || status == PGRES_COPY_BOTH;
}

PGresult *link_answer(PGconn *link, int64_t deadline)
{
    PGresult *answer = NULL;
    PGresult *result = NULL;
    for (;;) {
        if (!link_next(link, deadline, &result)) {
            PQclear(answer);
            return NULL;
        }
        if (result == NULL) return answer;
        PGresult *other = result;
        if (answer == NULL || link_success(answer)) {
            other = answer;
            answer = result;
        }
        PQclear(other);
        if (is_copy(answer)) return answer;
    }
}

PGresult *link_command(PGconn *link, const char *sql, int64_t deadline)
{
    if (PQsendQuery(link, sql) == 0) return NULL;
    return link_answer(link, deadline);
}

bool link_success(const PGresult *result)
{
    ExecStatusType status = PQresultStatus(result);
    return status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK;
}
