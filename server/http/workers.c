/* Two pools of workers, for what only reads and for what writes, with one queue each: first come,
 * first served.
 *
 * Invariants: a connection in a queue is suspended, and is resumed exactly once, after its exchange
 * was performed; a pool that is stopping takes nothing more but empties its queue. The state that
 * the service opened for a worker is used by that worker's thread alone.
 */
#include "http/workers.h"

#include "base/log.h"
#include "http/daemon.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

struct worker {
    struct pool *pool;
    pthread_t thread;
    void *state; /* what service->open gave */
};

struct pool {
    const struct service *service;
    pthread_mutex_t lock;
    pthread_cond_t changed;
    struct exchange *first, *last;
    size_t waiting, waiting_max;
    bool stopping;
    struct worker *workers;
    int count; /* of those whose thread runs */
};

struct workers {
    struct pool readers, writers;
};

/* --- the queue --- */

static bool put(struct pool *pool, struct exchange *exchange)
{
    pthread_mutex_lock(&pool->lock);
    bool room = !pool->stopping && pool->waiting < pool->waiting_max;
    if (room) {
        MHD_suspend_connection(exchange->connection);
        exchange->next = NULL;
        if (pool->first == NULL)
            pool->first = exchange;
        else
            pool->last->next = exchange;
        pool->last = exchange;
        pool->waiting++;
        pthread_cond_signal(&pool->changed);
    }
    pthread_mutex_unlock(&pool->lock);
    return room;
}

/* Waits for the next; NULL when the pool is stopping and nothing is left. */
static struct exchange *take(struct pool *pool)
{
    pthread_mutex_lock(&pool->lock);
    while (pool->first == NULL && !pool->stopping)
        pthread_cond_wait(&pool->changed, &pool->lock);
    struct exchange *exchange = pool->first;
    if (exchange != NULL) {
        pool->first = exchange->next;
        pool->waiting--;
    }
    pthread_mutex_unlock(&pool->lock);
    return exchange;
}

/* --- the threads --- */

/* Once it is resumed the exchange may be gone at any moment. */
static void *run(void *context)
{
    struct worker *worker = context;
    struct exchange *exchange;
    while ((exchange = take(worker->pool)) != NULL) {
        struct MHD_Connection *connection = exchange->connection;
        worker->pool->service->perform(worker->state, &exchange->request);
        exchange_finish(exchange);
        MHD_resume_connection(connection);
    }
    return NULL;
}

static bool start_worker(struct pool *pool)
{
    struct worker *worker = &pool->workers[pool->count];
    worker->pool = pool;
    worker->state = pool->service->open(pool->service->context);
    if (worker->state == NULL) {
        log_error("a worker could not be opened");
        return false;
    }
    int error = pthread_create(&worker->thread, NULL, run, worker);
    if (error != 0) {
        log_error("no thread for a worker: %s", strerror(error));
        pool->service->close(worker->state);
        return false;
    }
    pool->count++;
    return true;
}

static bool start_pool(struct pool *pool, int count)
{
    pool->workers = calloc((size_t)count, sizeof *pool->workers);
    if (pool->workers == NULL) {
        log_error("no memory for %d workers", count);
        return false;
    }
    while (pool->count < count)
        if (!start_worker(pool)) return false;
    return true;
}

static void stop_pool(struct pool *pool)
{
    pthread_mutex_lock(&pool->lock);
    pool->stopping = true;
    pthread_cond_broadcast(&pool->changed);
    pthread_mutex_unlock(&pool->lock);
    for (int i = 0; i < pool->count; i++) {
        pthread_join(pool->workers[i].thread, NULL);
        pool->service->close(pool->workers[i].state);
    }
}

static void free_pool(struct pool *pool)
{
    free(pool->workers);
    pthread_cond_destroy(&pool->changed);
    pthread_mutex_destroy(&pool->lock);
}

static void init_pool(struct pool *pool, const struct service *service, size_t waiting_max)
{
    pool->service = service;
    pool->waiting_max = waiting_max;
    pthread_mutex_init(&pool->lock, NULL);
    pthread_cond_init(&pool->changed, NULL);
}

/* --- both pools --- */

struct workers *workers_start(const struct daemon_settings *settings, const struct service *service)
{
    struct workers *workers = calloc(1, sizeof *workers);
    if (workers == NULL) {
        log_error("no memory for the workers");
        return NULL;
    }
    init_pool(&workers->readers, service, settings->queue_max);
    init_pool(&workers->writers, service, settings->queue_max);
    if (start_pool(&workers->readers, settings->readers) &&
        start_pool(&workers->writers, settings->writers))
        return workers;
    workers_stop(workers);
    workers_free(workers);
    return NULL;
}

bool workers_queue(struct workers *workers, struct exchange *exchange)
{
    const struct route *route = exchange->request.route;
    bool reads = route == NULL || route->kind == ROUTE_READ;
    return put(reads ? &workers->readers : &workers->writers, exchange);
}

void workers_stop(struct workers *workers)
{
    stop_pool(&workers->readers);
    stop_pool(&workers->writers);
}

void workers_free(struct workers *workers)
{
    if (workers == NULL) return;
    free_pool(&workers->readers);
    free_pool(&workers->writers);
    free(workers);
}
