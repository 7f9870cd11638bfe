"""The book, the photos and the settings of the first release.

Revision 0001, after nothing.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "fact",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=True),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("job", sa.Integer(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("seen_at", sa.Text(), nullable=False),
        sa.Column("written_at", sa.Text(), nullable=False),
        sa.Column("power_up", sa.Integer(), nullable=False),
        sa.Column("prompted_by", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.CheckConstraint("power_up >= 0", name=op.f("ck_fact_power_up")),
        sa.CheckConstraint("job >= 0", name=op.f("ck_fact_job")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_fact")),
        sa.UniqueConstraint("key", name=op.f("uq_fact_key")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_fact_job"), "fact", ["job"])
    op.create_index(op.f("ix_fact_kind"), "fact", ["kind"])
    op.create_table(
        "meta",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_meta")),
    )
    op.create_table(
        "photo",
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("stored_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_photo")),
    )
    op.create_table(
        "setting",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_setting")),
    )
    op.create_table(
        "cannot_do",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("step", sa.Text(), nullable=False),
        sa.Column("because", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_cannot_do_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_cannot_do")),
    )
    op.create_table(
        "complained",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("complaint", sa.Text(), nullable=False),
        sa.Column("told", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_complained_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_complained")),
    )
    op.create_table(
        "described",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_described_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_described")),
    )
    op.create_table(
        "fact_fitted",
        sa.Column("fact", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("instance", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["fact"], ["fact.number"], name=op.f("fk_fact_fitted_fact_fact")),
        sa.PrimaryKeyConstraint("fact", "place", name=op.f("pk_fact_fitted")),
    )
    op.create_table(
        "finding",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("check", sa.Text(), nullable=False),
        sa.Column("outcome", sa.Text(), nullable=False),
        sa.Column("sure", sa.Boolean(), nullable=False),
        sa.Column("told", sa.Boolean(), nullable=False),
        sa.Column("copy", sa.Integer(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_finding_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_finding")),
    )
    op.create_table(
        "fix_done",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("fix", sa.Text(), nullable=False),
        sa.Column("slot", sa.Text(), nullable=False),
        sa.Column("instance", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_fix_done_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_fix_done")),
    )
    op.create_table(
        "gate_answered",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("gate", sa.Text(), nullable=False),
        sa.Column("met", sa.Boolean(), nullable=False),
        sa.Column("how", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_gate_answered_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_gate_answered")),
    )
    op.create_table(
        "intake_answer",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("question", sa.Text(), nullable=False),
        sa.Column("yes", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_intake_answer_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_intake_answer")),
    )
    op.create_table(
        "job_opened",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("wanted", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_job_opened_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_job_opened")),
    )
    op.create_table(
        "note",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_note_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_note")),
    )
    op.create_table(
        "opened",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("opening", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_opened_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_opened")),
    )
    op.create_table(
        "part_in",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("instance", sa.Text(), nullable=False),
        sa.Column("slot", sa.Text(), nullable=False),
        sa.Column("standing", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_part_in_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_part_in")),
    )
    op.create_table(
        "part_out",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("instance", sa.Text(), nullable=False),
        sa.Column("slot", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_part_out_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_part_out")),
    )
    op.create_table(
        "photo_taken",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["digest"], ["photo.digest"], name=op.f("fk_photo_taken_digest_photo")),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_photo_taken_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_photo_taken")),
    )
    op.create_table(
        "pinned",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("packs", sa.Text(), nullable=False),
        sa.Column("learned", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_pinned_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_pinned")),
    )
    op.create_table(
        "reading",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("quantity", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("value", sa.Float(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("instrument", sa.Text(), nullable=False),
        sa.Column("conditions", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_reading_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_reading")),
    )
    op.create_table(
        "refitted",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("opening", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_refitted_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_refitted")),
    )
    op.create_table(
        "resumed",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_resumed_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_resumed")),
    )
    op.create_table(
        "shelved",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("waits_for", sa.Text(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_shelved_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_shelved")),
    )
    op.create_table(
        "signed_off",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("unproven", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_signed_off_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_signed_off")),
    )
    op.create_table(
        "stopped",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("because", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_stopped_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_stopped")),
    )
    op.create_table(
        "taken_in",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("tag", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("year", sa.Integer(), nullable=False),
        sa.Column("story", sa.Text(), nullable=False),
        sa.Column("came_with", sa.Text(), nullable=False),
        sa.Column("condition", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_taken_in_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_taken_in")),
        sa.UniqueConstraint("tag", name=op.f("uq_taken_in_tag")),
    )
    op.create_table(
        "wanted_set",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("wanted", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_wanted_set_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_wanted_set")),
    )
    op.create_table(
        "withdrawn",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("fact", sa.Integer(), nullable=False),
        sa.Column("because", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["fact"], ["fact.number"], name=op.f("fk_withdrawn_fact_fact")),
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f("fk_withdrawn_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_withdrawn")),
    )
    op.create_table(
        "fact_machine",
        sa.Column("fact", sa.Integer(), nullable=False),
        sa.Column("tag", sa.Text(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["fact"], ["fact.number"], name=op.f("fk_fact_machine_fact_fact")),
        sa.ForeignKeyConstraint(["tag"], ["taken_in.tag"], name=op.f("fk_fact_machine_tag_taken_in")),
        sa.PrimaryKeyConstraint("fact", "tag", name=op.f("pk_fact_machine")),
    )
    op.create_index(op.f("ix_fact_machine_tag"), "fact_machine", ["tag"])
