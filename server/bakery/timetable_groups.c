/* With which bread day each job is scheduled.
 *
 * With the first that it is for; so a mix that several days share is placed when the first of them
 * is, by when the others would need it if no machine were taken. A day that is scheduled later may
 * need it earlier than that, as its machines are busy: by no more, at a guess, than all the work of
 * its machines. Where there is less time than that between the shared mix and what takes it, what
 * takes it is scheduled along with the mix.
 */
#include "bakery/timetable_shop.h"

#include "bakery/amount.h"

/* When the breads of each job are wanted, and when it would end: from the last job to the first. */
static void look_back(struct shop *shop)
{
    for (size_t j = shop->job_count; j-- > 0;) {
        struct schedule_job *job = &shop->jobs[j];
        struct shop_job *info = &shop->job_infos[j];
        if (job->feed_count == 0 && job->due == SCHEDULE_EVER)
            job->due = info->mix->planned->begins +
                       stage_seconds(formula_minutes(info->mix->formula));
        info->ready = info->latest = job->due;
        for (size_t k = 0; k < job->op_count; k++)
            info->lasts += job->ops[k].lasts;
        for (size_t n = 0; n < job->feed_count; n++) {
            const struct shop_job *fed = &shop->job_infos[job->feeds[n]];
            if (fed->ready < info->ready) info->ready = fed->ready;
            if (fed->latest - fed->lasts < info->latest) info->latest = fed->latest - fed->lasts;
        }
    }
}

/* What a job adds to the work of its day: machines that can all do it share it. */
static int64_t work_of(const struct schedule_job *job)
{
    int64_t work = 0;
    for (size_t k = 0; k < job->op_count; k++)
        if (job->ops[k].machine_count > 0)
            work += job->ops[k].lasts / (int64_t)job->ops[k].machine_count;
    return work;
}

/* The work of every bread day from the first on. NULL when memory is short. */
static int64_t *work_of_days(const struct shop *shop, int64_t *first)
{
    int64_t last = INT64_MIN;
    *first = INT64_MAX;
    for (size_t j = 0; j < shop->job_count; j++) {
        if (shop->job_infos[j].bread_day < *first) *first = shop->job_infos[j].bread_day;
        if (shop->job_infos[j].bread_day > last) last = shop->job_infos[j].bread_day;
    }
    size_t count = shop->job_count > 0 ? (size_t)(last - *first) + 1 : 0;
    int64_t *work = amount_memory(shop->reckoning, count, sizeof *work);
    for (size_t j = 0; work && j < shop->job_count; j++)
        work[shop->job_infos[j].bread_day - *first] += work_of(&shop->jobs[j]);
    return work;
}

bool shop_groups(struct shop *shop)
{
    int64_t first;
    look_back(shop);
    const int64_t *work = work_of_days(shop, &first);
    if (!work) return false;
    for (size_t j = 0; j < shop->job_count; j++)
        shop->jobs[j].group = shop->job_infos[j].bread_day;
    for (size_t j = 0; j < shop->job_count; j++) {
        const struct schedule_job *job = &shop->jobs[j];
        for (size_t n = 0; n < job->feed_count; n++) {
            struct schedule_job *fed = &shop->jobs[job->feeds[n]];
            const struct shop_job *info = &shop->job_infos[job->feeds[n]];
            int64_t between = info->latest - info->lasts - shop->job_infos[j].latest;
            if (job->group < fed->group && between < work[info->bread_day - first])
                fed->group = job->group;
        }
    }
    return true;
}
