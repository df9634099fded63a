/* Growth between the published anchors: piecewise cubic, its slopes by the weighted harmonic mean
 * of the neighbours' (F. N. Fritsch and J. Butland 1984, SIAM J Sci Stat Comput 5:300), which keeps
 * it monotone wherever the anchors are, and flat between two of equal height.
 */
#include "bakery/growth.h"

#include <math.h>
#include <stddef.h>

struct anchor {
    double c; /* degrees Celsius */
    double share;
};

static const struct anchor lactobacilli[] = {{4, 0},  {15, 0.25}, {20, 0.5},  {32, 1},
                                             {33, 1}, {37, 0.5},  {39, 0.25}, {41, 0}};
static const struct anchor yeast[] = {{8, 0},   {14, 0.25}, {20, 0.5}, {28, 1},
                                      {32, .5}, {34, 0.25}, {35, 0}};
static const struct anchor starter[] = {{4, 0},  {15, 0.25}, {20, 0.5},  {28, 1},
                                        {32, 1}, {37, 0.5},  {39, 0.25}, {41, 0}};

static double rise(const struct anchor *a, const struct anchor *b)
{
    return (b->share - a->share) / (b->c - a->c);
}

/* Of the first or last anchor: by a parabola through it and the next two, if that does not turn
 * back. */
static double end_slope(const struct anchor *end, const struct anchor *next,
                        const struct anchor *third)
{
    double near = next->c - end->c, far = third->c - next->c;
    double slope = ((2 * near + far) * rise(end, next) - near * rise(next, third)) / (near + far);
    return slope * rise(end, next) > 0 ? slope : 0;
}

static double slope_at(const struct anchor *anchors, size_t count, size_t k)
{
    const struct anchor *a = &anchors[k];
    if (k == 0) return end_slope(a, a + 1, a + 2);
    if (k == count - 1) return end_slope(a, a - 1, a - 2);
    double before = rise(a - 1, a), after = rise(a, a + 1);
    if (before * after <= 0) return 0;
    double left = a->c - (a - 1)->c, right = (a + 1)->c - a->c;
    double first = 2 * right + left, second = right + 2 * left;
    return (first + second) / (first / before + second / after);
}

static double curve(const struct anchor *anchors, size_t count, int64_t units)
{
    double c = (double)units / 10000;
    size_t k = 0;
    if (c <= anchors[0].c || c >= anchors[count - 1].c) return 0;
    while (c >= anchors[k + 1].c)
        k++;
    const struct anchor *a = &anchors[k], *b = a + 1;
    double width = b->c - a->c, t = (c - a->c) / width;
    double bend = (1 - t) * slope_at(anchors, count, k) - t * slope_at(anchors, count, k + 1);
    double share = a->share + t * t * (3 - 2 * t) * (b->share - a->share) +
                   width * t * (1 - t) * bend;
    return fmin(fmax(share, 0), 1);
}

double growth_lactobacilli(int64_t c)
{
    return curve(lactobacilli, sizeof lactobacilli / sizeof *lactobacilli, c);
}

double growth_yeast(int64_t c)
{
    return curve(yeast, sizeof yeast / sizeof *yeast, c);
}

double growth_starter(int64_t c)
{
    return curve(starter, sizeof starter / sizeof *starter, c);
}

int64_t growth_time(int64_t at_best, int64_t c)
{
    double share = growth_starter(c);
    double time = share > 0 ? round((double)at_best / share) : GROWTH_LONGEST;
    return time < GROWTH_LONGEST ? (int64_t)time : GROWTH_NEVER;
}
