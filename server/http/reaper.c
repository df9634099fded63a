/* The reaper's thread and its list.
 *
 * Invariants: the list and every watch in it are touched under the lock only; a socket is shut down
 * under it too, and is taken from the list before it is closed, so that its number cannot belong to
 * another connection by then. Sockets that linger are copies of our own, at most LINGERING_MAX.
 */
#include "http/reaper.h"

#include "base/log.h"

#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum { TICK_MS = 100, LINGER_MS = 2000, LINGERING_MAX = 64 };

#define NEVER INT64_MAX

struct watch {
    struct reaper *reaper;
    struct watch *previous, *next;
    int socket;
    int64_t until_ms;
    bool wanted;    /* to linger, when it is removed */
    bool lingering; /* the socket is our own copy */
};

struct reaper {
    pthread_mutex_t lock;
    pthread_cond_t stopped;
    pthread_t thread;
    struct watch list; /* a ring; this one is its head and no connection */
    int lingering;
    bool stopping;
};

int64_t monotonic_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* --- the ring --- */

static void link_in(struct reaper *reaper, struct watch *watch)
{
    watch->next = &reaper->list;
    watch->previous = reaper->list.previous;
    watch->previous->next = watch;
    reaper->list.previous = watch;
}

static void take_out(struct watch *watch)
{
    watch->previous->next = watch->next;
    watch->next->previous = watch->previous;
}

/* --- lingering --- */

static void end_lingering(struct watch *watch)
{
    take_out(watch);
    watch->reaper->lingering--;
    close(watch->socket);
    free(watch);
}

/* Throws away what has come. False when nothing more will. */
static bool read_empty(int socket)
{
    char waste[16 * 1024];
    ssize_t got = recv(socket, waste, sizeof waste, MSG_DONTWAIT);
    return got > 0 || (got < 0 && (errno == EAGAIN || errno == EINTR));
}

static bool begin_lingering(struct watch *watch)
{
    struct reaper *reaper = watch->reaper;
    if (!watch->wanted || reaper->lingering == LINGERING_MAX) return false;
    int copy = dup(watch->socket);
    if (copy < 0) return false;
    shutdown(copy, SHUT_WR);
    watch->socket = copy;
    watch->lingering = true;
    watch->until_ms = monotonic_ms() + LINGER_MS;
    reaper->lingering++;
    return true;
}

/* --- the thread --- */

static void look_at(struct watch *watch, int64_t now)
{
    if (watch->lingering) {
        if (now >= watch->until_ms || !read_empty(watch->socket)) end_lingering(watch);
    } else if (now >= watch->until_ms) {
        watch->until_ms = NEVER;
        shutdown(watch->socket, SHUT_RDWR);
    }
}

static void look_at_all(struct reaper *reaper)
{
    int64_t now = monotonic_ms();
    for (struct watch *watch = reaper->list.next, *next; watch != &reaper->list; watch = next) {
        next = watch->next;
        look_at(watch, now);
    }
}

static void wait_a_tick(struct reaper *reaper)
{
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_nsec += TICK_MS * 1000000L;
    if (until.tv_nsec >= 1000000000L) {
        until.tv_sec++;
        until.tv_nsec -= 1000000000L;
    }
    pthread_cond_timedwait(&reaper->stopped, &reaper->lock, &until);
}

static void *run(void *context)
{
    struct reaper *reaper = context;
    pthread_mutex_lock(&reaper->lock);
    while (!reaper->stopping) {
        look_at_all(reaper);
        wait_a_tick(reaper);
    }
    pthread_mutex_unlock(&reaper->lock);
    return NULL;
}

struct reaper *reaper_start(void)
{
    struct reaper *reaper = calloc(1, sizeof *reaper);
    pthread_condattr_t monotonic;
    if (reaper == NULL) {
        log_error("no memory for the reaper");
        return NULL;
    }
    reaper->list.next = reaper->list.previous = &reaper->list;
    pthread_mutex_init(&reaper->lock, NULL);
    pthread_condattr_init(&monotonic);
    pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC);
    pthread_cond_init(&reaper->stopped, &monotonic);
    pthread_condattr_destroy(&monotonic);
    int error = pthread_create(&reaper->thread, NULL, run, reaper);
    if (error == 0) return reaper;
    log_error("no thread for the reaper: %s", strerror(error));
    free(reaper);
    return NULL;
}

void reaper_stop(struct reaper *reaper)
{
    if (reaper == NULL) return;
    pthread_mutex_lock(&reaper->lock);
    reaper->stopping = true;
    pthread_cond_signal(&reaper->stopped);
    pthread_mutex_unlock(&reaper->lock);
    pthread_join(reaper->thread, NULL);
    while (reaper->list.next != &reaper->list)
        end_lingering(reaper->list.next);
    pthread_cond_destroy(&reaper->stopped);
    pthread_mutex_destroy(&reaper->lock);
    free(reaper);
}

/* --- connections --- */

struct watch *reaper_add(struct reaper *reaper, int socket, int seconds)
{
    struct watch *watch = calloc(1, sizeof *watch);
    if (watch == NULL) return NULL;
    watch->reaper = reaper;
    watch->socket = socket;
    watch->until_ms = monotonic_ms() + (int64_t)seconds * 1000;
    pthread_mutex_lock(&reaper->lock);
    link_in(reaper, watch);
    pthread_mutex_unlock(&reaper->lock);
    return watch;
}

static void set_until(struct watch *watch, int64_t until_ms)
{
    if (watch == NULL) return;
    pthread_mutex_lock(&watch->reaper->lock);
    watch->until_ms = until_ms;
    pthread_mutex_unlock(&watch->reaper->lock);
}

void reaper_set(struct watch *watch, int seconds)
{
    set_until(watch, monotonic_ms() + (int64_t)seconds * 1000);
}

void reaper_pause(struct watch *watch)
{
    set_until(watch, NEVER);
}

void reaper_tighten(struct watch *watch, int seconds)
{
    if (watch == NULL) return;
    int64_t until_ms = monotonic_ms() + (int64_t)seconds * 1000;
    pthread_mutex_lock(&watch->reaper->lock);
    if (until_ms < watch->until_ms) watch->until_ms = until_ms;
    pthread_mutex_unlock(&watch->reaper->lock);
}

void reaper_linger(struct watch *watch)
{
    if (watch != NULL) watch->wanted = true;
}

void reaper_remove(struct watch *watch)
{
    if (watch == NULL) return;
    struct reaper *reaper = watch->reaper;
    pthread_mutex_lock(&reaper->lock);
    bool keep = begin_lingering(watch);
    if (!keep) take_out(watch);
    pthread_mutex_unlock(&reaper->lock);
    if (!keep) free(watch);
}
