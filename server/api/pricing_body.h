/* Targets and what a price comes to, on the wire. */
#ifndef MORROWLOAF_API_PRICING_BODY_H
#define MORROWLOAF_API_PRICING_BODY_H

#include "bakery/pricing.h"
#include "json/reader.h"
#include "json/writer.h"

/* "target": null, or an object of exactly one of margin_pct, markup_pct and ingredient_share_pct.
 */
void target_read(struct json_object *body, enum target_kind *kind, int64_t *pct);
void target_write(struct json_writer *json, enum target_kind kind, int64_t pct);

/* price, net_price, margin_pct, markup_pct and ingredient_share_pct into the open object; all null
 * for NULL. */
void figures_write(struct json_writer *json, const struct price_figures *figures, int places);

#endif
